import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type FinishedJob, finishedJob } from '../../src/domain/record.ts';
import { putTechnicians } from '../../src/store/lists.ts';
import { readRecord, readRecordPage } from '../../src/store/records.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type Locator, openBrowser, type Page } from '../support/browser.ts';
import { type FreshDatabase, freshDatabase, insertShop } from '../support/database.ts';
import { type Site, startSite } from '../support/site.ts';
import { axeFindings, sidewaysFindings, smallTargets, visitAs } from '../support/visit.ts';

const browser = await openBrowser();

describe.skipIf(!browser)('contract: the bay, in a browser', () => {
  if (!browser) return;
  let db: FreshDatabase;
  let site: Site;
  beforeAll(async () => {
    db = await freshDatabase();
    site = await startSite(db, { shop: 'jobs' });
  });
  afterAll(async () => {
    await browser.close();
    await site?.stop();
    await db?.close();
  });

  const stored = (ref: string) => inShop(db, site.shopId, async (tx) => (await readRecord(tx, ref))?.record);
  const latest = async (): Promise<FinishedJob> => {
    const { records } = await inShop(db, site.shopId, (tx) => readRecordPage(tx, {}, { limit: 1, newestFirst: true }));
    return finishedJob.parse(records[0]);
  };
  const nJobs = async () =>
    (await inShop(db, site.shopId, (tx) => readRecordPage(tx, {}, { limit: 5000 }))).records.length;

  const stillWet = (page: Page, ref: string) =>
    page
      .locator('.cards > li', { has: page.getByRole('heading', { name: `${ref}:` }) })
      .getByRole('button', { name: 'Still wet now' });
  /** A visit some hours on, when what was recorded just now has dried for a while. */
  const visitLater = async () => {
    hoursOn += 3;
    const aheadMs = hoursOn * 3_600_000;
    const later = await startSite(db, { shopId: site.shopId, now: () => new Date(Date.now() + aheadMs) });
    const visited = await visitAs(browser, later, 'technician');
    return { ...visited, aheadMs, end: () => visited.context.close().then(later.stop) };
  };
  let hoursOn = 0;

  it('records a job on a phone in about fifteen touches, from the number to the litres', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'technician');
    const before = await nJobs();
    let touches = 0;
    const tap = async (target: Locator) => {
      touches += 1;
      await target.tap();
    };
    const type = async (target: Locator, text: string) => {
      await tap(target);
      await page.keyboard.type(text);
    };
    await tap(page.locator('.ways a', { hasText: 'Record a job' }));
    await tap(page.getByRole('link', { name: 'Sedan', exact: true }));
    for (const part of ['Front seats', 'Rear bench']) {
      const group = page.getByRole('group', { name: part, exact: true });
      await tap(group.getByText('moderate', { exact: true }));
      await tap(group.getByRole('button', { name: 'Wet passes: one more' }));
      await tap(group.getByRole('button', { name: 'Wet passes: one more' }));
      await tap(group.getByRole('button', { name: 'Dry passes: one more' }));
    }
    touches += 1; // the list opens and one is chosen
    await page.getByLabel('Technician').selectOption('ada');
    await type(page.getByLabel('Minutes'), '195');
    await type(page.getByLabel('Clean tank before (L)'), '10');
    await type(page.getByLabel('Clean tank after (L)'), '2,5');
    await type(page.getByLabel('Waste tank after (L)'), '6.8');
    expect(await axeFindings(page)).toEqual([]);
    expect(await sidewaysFindings(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    await tap(page.locator('.send button'));
    await page.waitForURL('**/jobs/recent?stored=*');
    expect(touches).toBeLessThanOrEqual(16);
    const job = await latest();
    expect(await nJobs()).toBe(before + 1);
    expect(job).toMatchObject({
      bodyStyle: 'sedan',
      labour: [{ technician: 'ada', minutes: 195 }],
      sprayedLitres: 7.5,
      recoveredLitres: 6.8,
      sections: [
        { area: 'front-seat', count: 2, soil: 'moderate', wetPasses: 2, dryPasses: 1, result: 'clean' },
        { area: 'rear-bench', count: 1, soil: 'moderate', wetPasses: 2, dryPasses: 1, result: 'clean' },
      ],
    });
    expect(await page.textContent('.notice.done')).toContain(job.ref);
    // The next one begins with who worked last on this phone.
    await page.goto('/jobs/new?body=coupe');
    expect(await page.getByLabel('Technician').inputValue()).toBe('ada');
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('comes back to the part or person that was added, not to the top of the page', async () => {
    const { page, context } = await visitAs(browser, site, 'technician', { screen: 'phone' });
    await page.goto('/jobs/new?body=sedan');
    const top = async (id: string) => (await page.locator(id).boundingBox())?.y;
    for (const [button, id] of [
      ['Another part', '#field-sections-2'],
      ['Another person', '#field-labour'],
    ] as const) {
      await page.getByRole('button', { name: button }).click();
      await page.waitForURL(`**/jobs/new${id}`);
      expect(Math.abs((await top(id)) ?? Infinity), button).toBeLessThan(60);
    }
    await context.close();
  });

  it('says what is wrong at its field and keeps what was typed, with scripts off', async () => {
    const { page, context } = await visitAs(browser, site, 'technician', { scripts: false });
    await page.goto('/jobs/new?body=van');
    await page.getByRole('button', { name: 'Another part' }).click();
    const [seats, bench] = [
      page.getByRole('group', { name: 'Front seats', exact: true }),
      page.getByRole('group', { name: 'Rear bench', exact: true }),
    ];
    await seats.getByText('heavy', { exact: true }).click();
    await seats.getByLabel('Wet passes', { exact: true }).fill('two');
    await bench.getByText('light', { exact: true }).click();
    await bench.getByLabel('Wet passes', { exact: true }).fill('1');
    await page.getByLabel('Technician').selectOption('bram');
    await page.getByLabel('Minutes').fill('80');
    await page.getByLabel('Clean tank before (L)').fill('3');
    await page.getByLabel('Clean tank after (L)').fill('4');
    await page.locator('.send button').click();
    const told = await page.locator('.faults').textContent();
    expect(told).toMatch(/Front seats, wet passes is "two": a whole number/);
    expect(told).toContain('By its levels the clean tank went the wrong way');
    expect(await seats.locator('.wrong').textContent()).toMatch(/whole number/);
    expect(await seats.getByLabel('Wet passes', { exact: true }).inputValue()).toBe('two');
    expect(await bench.getByLabel('light').isChecked()).toBe(true);
    await seats.getByLabel('Wet passes', { exact: true }).fill('3');
    await page.getByLabel('Clean tank after (L)').fill('0');
    await page.locator('.send button').click();
    expect(page.url()).toContain('/jobs/recent?stored=');
    expect(await latest()).toMatchObject({
      bodyStyle: 'van',
      sprayedLitres: 3,
      sections: [
        { area: 'front-seat', soil: 'heavy', wetPasses: 3 },
        { area: 'rear-bench', soil: 'light', wetPasses: 1 },
      ],
    });
    await context.close();
  });

  it('keeps a job without a connection and sends it once when there is one', async () => {
    const { page, context } = await visitAs(browser, site, 'technician');
    const before = await nJobs();
    await page.goto('/jobs/new?body=van');
    const ref = await page.locator('input[name=proposedRef]').inputValue();
    await fillVan(page);
    await context.setOffline(true);
    await page.locator('.send button').tap();
    await page.getByText(`Job ${ref} is kept on this phone`).waitFor();
    expect(await nJobs()).toBe(before);
    await context.setOffline(false);
    await page.getByText(`Job ${ref} was waiting on this phone and is stored now`).waitFor();
    expect(await nJobs()).toBe(before + 1);
    expect(await stored(ref)).toMatchObject({ bodyStyle: 'van', labour: [{ technician: 'cleo', minutes: 45 }] });
    await page.goto('/jobs/recent');
    expect(await page.locator('#waiting').isVisible()).toBe(false);
    await context.close();
  });

  it('stores once what arrived though its answer was lost, beside another phone that had the same number', async () => {
    const one = await visitAs(browser, site, 'technician');
    const other = await visitAs(browser, site, 'technician');
    for (const { page } of [one, other]) {
      await page.goto('/jobs/new?body=van');
      await fillVan(page);
    }
    const ref = await one.page.locator('input[name=proposedRef]').inputValue();
    await other.page.getByLabel('Minutes').fill('70');
    await other.page.locator('.send button').tap();
    await other.page.waitForURL('**/jobs/recent?stored=*');
    const before = await nJobs();
    await one.page.route('**/jobs/new', async (route) => {
      await route.fetch({ maxRedirects: 0 });
      await route.abort('connectionreset');
    });
    await one.page.locator('.send button').tap();
    await one.page.getByText(`Job ${ref} is kept on this phone`).waitFor();
    expect(await nJobs()).toBe(before + 1);
    await one.page.unroute('**/jobs/new');
    await one.page.reload();
    await one.page.getByText(`Job ${ref} was waiting on this phone and is stored now`).waitFor();
    expect(await nJobs()).toBe(before + 1);
    expect((await stored(ref))?.labour[0]?.minutes).toBe(70);
    await one.context.close();
    await other.context.close();
  });

  it('shows a waiting job that was not taken, to be mended, and what was begun, to go on with', async () => {
    const { page, context } = await visitAs(browser, site, 'technician');
    await page.goto('/jobs/new?body=van');
    const ref = await page.locator('input[name=proposedRef]').inputValue();
    await fillVan(page);
    await page.getByLabel('Minutes').fill('lots');
    await context.setOffline(true);
    await page.locator('.send button').tap();
    await page.getByText(`Job ${ref} is kept on this phone`).waitFor();
    await context.setOffline(false);
    await page.getByRole('button', { name: 'Look at it' }).tap();
    await page.locator('.faults').waitFor();
    expect(await page.getByLabel('Minutes').inputValue()).toBe('lots');
    await page.goto('/jobs/new');
    await page.getByRole('button', { name: 'Go on with it' }).tap();
    await page.getByLabel('Minutes').fill('50');
    await page.locator('.send button').tap();
    await page.waitForURL('**/jobs/recent?stored=*');
    expect((await stored(ref))?.labour[0]?.minutes).toBe(50);
    await page.goto('/jobs/new');
    expect(await page.getByRole('button', { name: 'Go on with it' }).count()).toBe(0);
    await context.close();
  });

  it('keeps a job that was not taken while another is begun, for there is one place for what is begun', async () => {
    const { page, context } = await visitAs(browser, site, 'technician');
    await page.goto('/jobs/new?body=van');
    await fillVan(page);
    await page.getByLabel('Minutes').fill('many');
    await context.setOffline(true);
    await page.locator('.send button').tap();
    await page.getByText('is kept on this phone').waitFor();
    await context.setOffline(false);
    await page.getByRole('button', { name: 'Look at it' }).waitFor();
    await page.goto('/jobs/new?body=van');
    await page.getByLabel('Minutes').fill('61');
    await page.getByRole('button', { name: 'Look at it' }).tap();
    await page.getByText('First store or forget the job that was begun here').waitFor();
    expect(await page.getByLabel('Minutes').inputValue()).toBe('61');
    await page.goto('/jobs/new');
    await page.getByRole('button', { name: 'Forget it' }).tap();
    await page.getByRole('button', { name: 'Look at it' }).tap();
    await page.locator('.faults').waitFor();
    expect(await page.getByLabel('Minutes').inputValue()).toBe('many');
    await context.close();
  });

  it('keeps a job when the sign-in has lapsed, and sends it after signing in', async () => {
    const { page, context } = await visitAs(browser, site, 'technician');
    await page.goto('/jobs/new?body=van');
    const ref = await page.locator('input[name=proposedRef]').inputValue();
    await fillVan(page);
    await context.clearCookies();
    await page.locator('.send button').tap();
    await page.getByText('You are no longer signed in').waitFor();
    expect(await axeFindings(page)).toEqual([]);
    expect(await stored(ref)).toBeUndefined();
    const before = await nJobs();
    await page.goto(await site.link('technician'));
    await page.getByRole('button', { name: /^Sign in as/ }).click();
    await page.waitForURL('**/start');
    await page.goto('/jobs/recent');
    await page.getByText(`Job ${ref} was waiting on this phone and is stored now`).waitFor();
    expect(await nJobs()).toBe(before + 1);
    await context.close();
  });

  it('sends a check that was made without a connection as of when it was made, and no check with a comeback', async () => {
    const { page, context } = await visitAs(browser, site, 'technician');
    const { ref, finishedAt } = await latest();
    const card = page.locator('.cards > li', { has: page.getByRole('heading', { name: `${ref}:` }) });
    await page.goto('/jobs/recent');
    await context.setOffline(true);
    await card.getByRole('button', { name: 'Still wet now' }).tap();
    await page.getByText(`What you noted of job ${ref} is kept on this phone`).waitFor();
    const hours = (Date.now() - Date.parse(finishedAt)) / 3_600_000;
    await card.locator('summary').tap();
    await card.getByLabel('Came back with').selectOption('odour');
    await card.getByRole('button', { name: 'Store' }).tap();
    await page.getByText(`What you noted of job ${ref} is kept`).nth(1).waitFor();
    expect((await stored(ref))?.drying?.checks ?? []).toEqual([]);
    await context.setOffline(false);
    await page.getByText(`What you noted of job ${ref} was waiting`).nth(1).waitFor();
    const record = await stored(ref);
    expect(record?.drying?.checks).toHaveLength(1);
    expect(record?.drying?.checks[0]?.dry).toBe(false);
    expect(Math.abs((record?.drying?.checks[0]?.hours ?? 99) - hours)).toBeLessThan(0.02); // 0.01 h of rounding and some seconds
    expect(record?.outcome?.comeback).toBe('odour');
    await context.close();
  });

  it('stores once a check that arrived though its answer was lost for a minute', async () => {
    const { page, aheadMs, end } = await visitLater();
    const { ref } = await latest();
    const before = (await stored(ref))?.drying?.checks.length ?? 0;
    await page.clock.install({ time: Date.now() + aheadMs });
    await page.goto('/jobs/recent');
    await page.route('**/jobs/recent', async (route) => {
      await route.fetch({ maxRedirects: 0 });
      await page.clock.fastForward(60_000);
      await route.abort('connectionreset');
    });
    await stillWet(page, ref).tap();
    await page.getByText(`What you noted of job ${ref} is kept on this phone`).waitFor();
    expect((await stored(ref))?.drying?.checks).toHaveLength(before + 1);
    await page.unroute('**/jobs/recent');
    await page.reload();
    await page.getByText(`What you noted of job ${ref} was waiting on this phone and is stored now`).waitFor();
    expect((await stored(ref))?.drying?.checks).toHaveLength(before + 1);
    await end();
  });

  it('reckons a check that waits by the clock of the shop where that of the phone is wrong', async () => {
    const { page, context, aheadMs, end } = await visitLater();
    const { ref, finishedAt } = await latest();
    await page.clock.install({ time: Date.now() - 3_600_000 });
    await page.goto('/jobs/recent');
    await page.clock.fastForward(600_000);
    await context.setOffline(true);
    await stillWet(page, ref).tap();
    await page.getByText(`What you noted of job ${ref} is kept on this phone`).waitFor();
    await context.setOffline(false);
    await page.getByText(`What you noted of job ${ref} was waiting`).waitFor();
    const hours = (Date.now() + aheadMs + 600_000 - Date.parse(finishedAt)) / 3_600_000;
    const checks = (await stored(ref))?.drying?.checks ?? [];
    expect(Math.abs((checks.at(-1)?.hours ?? 99) - hours)).toBeLessThan(0.03);
    await end();
  });

  it('records another job without a connection, and keeps what was begun of a third', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'technician');
    const before = await nJobs();
    await page.goto('/jobs/new?body=van');
    const ref = await page.locator('input[name=proposedRef]').inputValue();
    await context.setOffline(true);
    await page.getByText('There is no connection. Go on as usual').waitFor();
    await fillVan(page);
    await page.locator('.send button').tap();
    await page.getByRole('button', { name: 'Another such job' }).tap();
    expect(await page.getByLabel('Minutes').inputValue()).toBe('');
    await fillVan(page);
    await page.getByLabel('Minutes').fill('47');
    await page.locator('.send button').tap();
    await page.getByText('is kept on this phone and is sent').nth(1).waitFor();
    await page.getByRole('button', { name: 'Another such job' }).tap();
    await page.getByLabel('Minutes').fill('33');
    await context.setOffline(false);
    await page.getByText('was waiting on this phone and is stored now').nth(1).waitFor();
    expect(await nJobs()).toBe(before + 2);
    expect((await stored(ref))?.labour[0]?.minutes).toBe(45);
    const other = (await latest()).ref;
    expect(other).not.toBe(ref);
    expect(
      await page.getByText(`Job ${ref} was waiting on this phone and is stored now as job ${other}.`).count(),
    ).toBe(1);
    await page.goto('/jobs/recent');
    await page.locator('.cards').getByRole('button', { name: 'Dry now' }).first().tap();
    await page.locator('.notice.done').waitFor();
    await page.getByRole('button', { name: 'Go on with it' }).tap();
    await page.locator('form.job').waitFor();
    expect(await page.getByLabel('Minutes').inputValue()).toBe('33');
    expect(troubles.filter((one) => !one.includes('ERR_INTERNET_DISCONNECTED'))).toEqual([]);
    await context.close();
  });

  it('lets the end of the work go on while its form is open, until somebody sets it', async () => {
    let aheadMs = 0;
    const later = await startSite(db, { shopId: site.shopId, now: () => new Date(Date.now() + aheadMs) });
    const { page, context } = await visitAs(browser, later, 'technician');
    const record = async (prepare: () => Promise<void>) => {
      await page.goto('/jobs/new?body=van');
      const ref = await page.locator('input[name=proposedRef]').inputValue();
      await fillVan(page);
      await prepare();
      await page.locator('.send button').tap();
      await page.waitForURL('**/jobs/recent?stored=*');
      return Date.parse((await stored(ref))?.finishedAt ?? '');
    };
    await page.clock.install();
    const left = await record(async () => {
      aheadMs = 3 * 3_600_000;
      await page.clock.fastForward(aheadMs);
      const said = page.locator('[data-ended]');
      expect(await said.textContent()).toMatch(/^\d{1,2} \w+ 20\d\d at \d\d:\d\d$/);
      const shown = await page.getByLabel('Work ended').inputValue();
      expect(Date.parse(`${(await said.textContent())?.replace(' at ', ', ')} UTC`)).toBe(Date.parse(`${shown}Z`));
      for (const press of ['button[value=add-person]', 'button[value="labour 1"]']) {
        await Promise.all([page.waitForEvent('load'), page.locator(press).tap()]);
        aheadMs += 3_600_000;
        await page.clock.fastForward(3_600_000);
      }
    });
    expect(Math.abs(left - (Date.now() + aheadMs))).toBeLessThan(120_000); // both to the minute
    const set = await record(async () => {
      await page.locator('summary', { hasText: 'ended' }).tap();
      await page.getByLabel('Work ended').fill('2025-06-02T11:20');
      await page.clock.fastForward(60_000);
    });
    expect(new Date(set).toISOString()).toMatch(/^2025-06-02T1/);
    await context.close();
    await later.stop();
  });

  it('lets the end of another such job go on with the clock, though that of the one before was set', async () => {
    const { page, context } = await visitAs(browser, site, 'technician');
    await page.clock.install();
    await page.goto('/jobs/new?body=van');
    await fillVan(page);
    await page.locator('summary', { hasText: 'ended' }).tap();
    const ended = page.getByLabel('Work ended');
    await ended.fill('2025-06-02T11:20');
    await context.setOffline(true);
    await page.locator('.send button').tap();
    await page.getByRole('button', { name: 'Another such job' }).tap();
    const shown = await ended.inputValue();
    await page.clock.fastForward(3_600_000);
    expect(Date.parse(await ended.inputValue()) - Date.parse(shown)).toBeGreaterThanOrEqual(3_600_000);
    await context.close();
  });

  it('knows when the work ended though the clocks were set back while its form was open', async () => {
    const shopId = await insertShop(db, 'Invented shop with a winter', 'Europe/London');
    await inShop(db, shopId, (tx) => putTechnicians(tx, [{ key: 'cleo', name: 'Invented Cleo' }]));
    let now = new Date('2025-10-26T00:20:00Z'); // 01:20 for the first time
    const winter = await startSite(db, { shopId, now: () => now });
    const { page, context } = await visitAs(browser, winter, 'technician');
    await page.clock.install({ time: now });
    await page.goto('/jobs/new?body=van');
    await fillVan(page);
    now = new Date('2025-10-26T01:21:00Z');
    await page.clock.fastForward(3_600_000);
    await page.locator('.send button').tap();
    await page.waitForURL('**/jobs/recent?stored=1');
    const record = await inShop(db, shopId, async (tx) => (await readRecord(tx, '1'))?.record);
    expect(record?.finishedAt).toMatch(/^2025-10-26T01:2[01]:00\+00:00$/);
    await context.close();
    await winter.stop();
  });

  it('weighs little, and is clean where a job begins, from an estimate or without', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'technician');
    const former = await latest();
    for (const path of ['/jobs/new', `/jobs/new?like=${former.ref}`, '/jobs/new?body=minivan', '/jobs/recent']) {
      await page.goto(path);
      await page.evaluate('document.querySelectorAll("details").forEach((each) => { each.open = true; })');
      expect(await axeFindings(page), path).toEqual([]);
      expect(await sidewaysFindings(page), path).toEqual([]);
      expect(await smallTargets(page), path).toEqual([]);
      const bytes = await page.evaluate<number>(bytesLoaded);
      expect(bytes, path).toBeGreaterThan(20_000); // the style sheet alone
      expect(bytes, path).toBeLessThan(150_000);
    }
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('adds a drying check and a comeback to a recent job', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'technician');
    const { ref } = await latest();
    await page.goto('/jobs/recent');
    expect(await axeFindings(page)).toEqual([]);
    expect(await sidewaysFindings(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    const card = page.locator('.cards > li', { has: page.getByRole('heading', { name: `${ref}:` }) });
    await card.getByRole('button', { name: 'Still wet now' }).tap();
    await page.locator('.notice.done').waitFor();
    expect((await stored(ref))?.drying?.checks).toMatchObject([{ dry: false }]);
    await card.locator('summary').tap();
    await card.getByLabel('Came back with').selectOption('wick-back');
    await card.getByRole('button', { name: 'Store' }).tap();
    await card.getByText('Came back with wick back').waitFor();
    expect((await stored(ref))?.outcome?.comeback).toBe('wick-back');
    expect(troubles).toEqual([]);
    await context.close();
  });
});

/** The page and all that it names, uncompressed. */
const bytesLoaded = `[...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]
  .reduce((bytes, { decodedBodySize }) => bytes + decodedBodySize, 0)`;

async function fillVan(page: Page): Promise<void> {
  const seats = page.getByRole('group', { name: 'Front seats', exact: true });
  await seats.getByText('light', { exact: true }).tap();
  await seats.getByLabel('Wet passes', { exact: true }).fill('1');
  await page.getByLabel('Technician').selectOption('cleo');
  await page.getByLabel('Minutes').fill('45');
}
