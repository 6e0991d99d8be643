import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createKey } from '../../src/store/keys.ts';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { openBrowser, type Page } from '../support/browser.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';
import { type Site, startSite } from '../support/site.ts';
import { axeFindings, sidewaysFindings, visitAs } from '../support/visit.ts';

const browser = await openBrowser();

/** What is the shop's own business: the rate, who does it with what, hours, likelihoods and where figures come from. */
const inside =
  /47|Ada|drum|technician|extractor|rule of thumb|our own jobs|person-hour|materials|risk|passes|\bh at\b/i;

describe.skipIf(!browser)('contract: the desk, in a browser', () => {
  if (!browser) return;
  let db: FreshDatabase;
  let site: Site;
  beforeAll(async () => {
    db = await freshDatabase();
    site = await startSite(db);
    await inShop(db, site.shopId, async (tx) => {
      await putTechnicians(tx, [{ key: 'ada', name: 'Invented Ada' }]);
      await putMachines(tx, [{ key: 'drum-a', name: 'Invented drum', kind: 'extractor', grade: 'standard' }]);
    });
  });
  afterAll(async () => {
    await browser.close();
    await site?.stop();
    await db?.close();
  });

  const price = (page: Page) => page.locator('.figures dd').first().textContent();

  async function keep(page: Page): Promise<string> {
    await page.getByRole('button', { name: 'Keep and give to the customer' }).click();
    await page.waitForURL(/\/estimate\/[0-9a-f-]{36}/);
    return new URL(page.url()).pathname;
  }

  it('estimates as the plan is typed, says so to a screen reader, and keeps what was opened open', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'desk', { screen: 'desk' });
    await page.goto('/estimate');
    const before = await price(page);
    await page.locator('#estimate-place summary').first().click();
    await page.selectOption('[name="sections.1.soil"]', 'severe');
    await expect.poll(() => price(page), { timeout: 60_000 }).not.toBe(before);
    expect(await page.textContent('[aria-live=polite]')).toContain(await price(page));
    expect(await page.locator('#estimate-place details').first().getAttribute('open')).not.toBeNull();
    await page.selectOption('[name=bodyStyle]', 'minivan');
    await page.getByText('Third row:').waitFor();
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('says what is missing while it is typed, at a place one can go to', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'desk', { screen: 'desk' });
    await page.goto('/estimate');
    await page.fill('[name="drying.rhPercent:number"]', '5o');
    await page.getByRole('link', { name: /^Humidity is "5o"/ }).click();
    expect(await page.evaluate('document.activeElement?.id')).toBe('field-drying-rhPercent');
    await page.fill('[name="drying.rhPercent:number"]', '50');
    await page.locator('.figures').waitFor();
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('says that the estimate is an old one where the connection is gone', async () => {
    const { page, context } = await visitAs(browser, site, 'desk', { screen: 'desk' });
    await page.goto('/estimate');
    await context.setOffline(true);
    await page.fill('[name="modelYear:number"]', '2012');
    await page.getByText('No connection: the estimate').waitFor();
    await context.setOffline(false);
    await page.fill('[name="modelYear:number"]', '2013');
    await page.getByText('No connection: the estimate').waitFor({ state: 'hidden' });
    await context.close();
  });

  it('works by its buttons with scripts off, and mends at the field what was wrong', async () => {
    const { page, context } = await visitAs(browser, site, 'desk', { scripts: false });
    await page.goto('/estimate');
    await page.selectOption('[name=bodyStyle]', 'minivan');
    await page.getByRole('button', { name: 'Tick its usual seats' }).click();
    expect(await page.isChecked('[name="sections.2.cleaned:flag"]')).toBe(true);
    await page.fill('[name="sections.0.count:number"]', 'two');
    await page.getByRole('button', { name: 'Estimate', exact: true }).click();
    expect(await page.textContent('[role=alert]')).toContain('Front seats, pieces is "two"');
    expect(await page.inputValue('[name="sections.0.count:number"]')).toBe('two');
    await page.fill('[name="sections.0.count:number"]', '2');
    await page.getByRole('button', { name: 'Estimate', exact: true }).click();
    const shown = await price(page);
    expect(shown).toMatch(/^€\d/);
    await keep(page);
    expect(await price(page)).toBe(shown);
    await context.close();
  });

  it('makes an estimate by keyboard alone', async () => {
    const { page, context } = await visitAs(browser, site, 'desk', { screen: 'desk' });
    await page.goto('/estimate');
    await tabTo(page, '[name=bodyStyle]');
    await page.keyboard.type('wagon');
    await tabTo(page, '[name="sections.3.cleaned:flag"]');
    await page.keyboard.press('Space');
    await tabTo(page, '[name="sections.3.soil"]'); // its details are there now
    await tabTo(page, 'button[value=keep]');
    await page.keyboard.press('Enter');
    await page.waitForURL(/\/estimate\/[0-9a-f-]{36}/);
    expect(await page.textContent('main')).toContain('wagon, front seats (2), rear bench and floor carpet');
    await context.close();
  });

  it('prints for the customer on one page, with the price and nothing of the inside', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'desk', { screen: 'desk' });
    await page.goto('/estimate');
    await page.selectOption('[name=technician]', 'ada');
    await page.selectOption('[name=extractor]', 'drum-a');
    await page.getByText('Another rate for this job').click();
    await page.fill('[name="labourRate:number"]', '47');
    const path = await keep(page);
    const told = (await price(page)) ?? '';
    expect(await page.textContent('main')).toMatch(inside); // what the customer is not to see is there for the desk
    await page.getByRole('link', { name: 'Page for the customer' }).click();
    await page.waitForURL('**/customer');
    await page.getByRole('button', { name: 'Print' }).waitFor();
    await page.emulateMedia({ media: 'print' });
    const printed = (await page.evaluate<string>('document.body.innerText')).replace(
      path.slice('/estimate/'.length),
      '',
    );
    expect(printed).toContain(told);
    expect(printed).toContain('Invented shop');
    expect(printed).toMatch(/ready by \w{3} \d+ \w+, \d\d:\d\d/);
    expect(printed).not.toMatch(inside);
    for (const control of ['Print', 'Sign out', 'Given estimates', 'Back to the estimate'])
      expect(printed).not.toContain(control);
    for (const format of ['A4', 'Letter']) {
      const pdf = (await page.pdf({ format })).toString('latin1');
      expect(pdf.match(/\/Type\s*\/Page\b(?!s)/g), format).toHaveLength(1);
    }
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('shows later what it took, and leads to it from the list', async () => {
    const { page, context } = await visitAs(browser, site, 'desk', { screen: 'desk' });
    await page.goto('/estimate');
    const path = await keep(page);
    expect(await page.getByText('What it took').count()).toBe(0);
    await record(path.slice('/estimate/'.length));
    await page.goto('/estimates');
    await page.locator(`a[href="${path}"]`).click();
    await page.getByRole('heading', { name: 'What it took' }).waitFor();
    expect(await page.textContent('main')).toContain('took 9.00\u00A0h: more than the hours quoted');
    expect(await axeFindings(page)).toEqual([]);
    expect(await sidewaysFindings(page)).toEqual([]);
    await context.close();
  });

  it('is readable and fits the screen while it is typed, and with faults', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'desk');
    await page.goto('/estimate');
    await page.getByText('Compare with another way').click();
    await page.check('[name="other.spot:flag"]');
    await page.getByRole('heading', { name: 'Another way' }).waitFor();
    expect(await axeFindings(page)).toEqual([]);
    expect(await sidewaysFindings(page)).toEqual([]);
    await page.fill('[name="crew:number"]', 'all');
    await page.getByRole('button', { name: 'Keep and give to the customer' }).click();
    await page.getByRole('alert').waitFor();
    expect(await axeFindings(page)).toEqual([]);
    expect(await sidewaysFindings(page)).toEqual([]);
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('is readable and fits the screen when it is given, listed and printed', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'desk');
    await page.goto('/estimate');
    const path = await keep(page);
    for (const each of [path, `${path}/customer`, '/estimates', '/price-list']) {
      await page.goto(each);
      expect(await axeFindings(page), each).toEqual([]);
      expect(await sidewaysFindings(page), each).toEqual([]);
    }
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('is not for technicians', async () => {
    const { page, context } = await visitAs(browser, site, 'technician');
    for (const path of ['/estimate', '/estimates', '/price-list']) {
      expect((await page.goto(path))?.status(), path).toBe(403);
      expect(await page.locator(`nav a[href="${path}"]`).count()).toBe(0);
    }
    await context.close();
  });

  /** A finished job that names the estimate, by the interface for programs. */
  async function record(estimate: string): Promise<void> {
    const key = await inShop(db, site.shopId, (tx) => createKey(tx, { role: 'technician', label: 'test' }));
    const seat = { fabric: 'flat-woven', soil: 'moderate', method: 'extraction', wetPasses: 2 };
    const answer = await fetch(`${site.address}/v1/records`, {
      method: 'POST',
      headers: { Authorization: `Bearer ${key.text}`, 'Content-Type': 'application/json' },
      body: JSON.stringify({
        ref: 'D-9',
        finishedAt: site.now().toISOString(),
        bodyStyle: 'sedan',
        labour: [{ technician: 'ada', minutes: 540 }],
        extractor: 'drum-a',
        sections: [
          { area: 'front-seat', count: 2, ...seat },
          { area: 'rear-bench', ...seat },
        ],
        quoted: { estimate },
      }),
    });
    expect(answer.status).toBe(201);
  }
});

/** Presses the tab key until the element has the focus. */
async function tabTo(page: Page, selector: string): Promise<void> {
  for (let presses = 0; presses < 80; presses += 1) {
    await page.keyboard.press('Tab');
    if (await page.evaluate<boolean>(`document.activeElement?.matches(${JSON.stringify(selector)}) ?? false`)) return;
  }
  throw new Error(`${selector} is not reached by the tab key`);
}
