import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { computeFit } from '../../jobs/compute-fit.ts';
import { runShop } from '../../jobs/run-shop.ts';
import { finishedJob } from '../../src/domain/record.ts';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { insertRecords, readRecord, rowOf } from '../../src/store/records.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { openBrowser, type Page } from '../support/browser.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';
import { type Site, startSite } from '../support/site.ts';
import { axeFindings, sidewaysFindings, smallTargets, visitAs } from '../support/visit.ts';

const browser = await openBrowser();

/** Invented jobs alike, but for one with minutes typed as hours. */
const slip = 'B 7/7';
const jobs = Array.from({ length: 30 }, (_, i) =>
  finishedJob.parse({
    ref: i === 7 ? slip : `A-${i}`,
    finishedAt: new Date(Date.UTC(2025, 0, 1 + i, 15)).toISOString(),
    bodyStyle: 'sedan',
    labour: [{ technician: i % 2 === 0 ? 'mira' : 'odo', minutes: (i === 7 ? 60 : 1) * (40 + (i % 5)) }],
    extractor: 'drum-a',
    sections: [{ area: 'front-seat', count: 2, fabric: 'knit', soil: 'heavy', method: 'extraction', wetPasses: 2 }],
  }),
);

describe.skipIf(!browser)('contract: the records, in a browser', () => {
  if (!browser) return;
  let db: FreshDatabase;
  let site: Site;
  beforeAll(async () => {
    db = await freshDatabase();
    site = await startSite(db);
    await inShop(db, site.shopId, async (tx) => {
      await putTechnicians(tx, [
        { key: 'mira', name: 'Mira (invented)' },
        { key: 'odo', name: 'Odo (invented)' },
      ]);
      await putMachines(tx, [{ key: 'drum-a', name: 'Drum (invented)', kind: 'extractor', grade: 'standard' }]);
      await insertRecords(tx, jobs.map(rowOf));
    });
    const compute = async (material: Parameters<typeof computeFit>[0]) => computeFit(material);
    await runShop({ db, now: site.now, compute }, site.shopId, randomUUID());
  });
  afterAll(async () => {
    await browser.close();
    await site?.stop();
    await db?.close();
  });

  const stored = async (ref: string) => (await inShop(db, site.shopId, (tx) => readRecord(tx, ref)))?.record;

  it('lets the desk find a job by filter, mend it and see what it was before, with scripts off', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'desk', { screen: 'desk', scripts: false });
    await page.getByRole('link', { name: 'All jobs' }).first().click();
    await page.getByText('By day, people, machine or cloth').click();
    await page.getByLabel('Technician').selectOption({ label: 'Odo (invented)' });
    await page.getByLabel('Finished from').fill('2025-01-10');
    await page.getByLabel('Finished until').fill('2025-01-10');
    await page.getByRole('button', { name: 'Find' }).last().click();
    expect(await page.getByRole('heading', { level: 2 }).textContent()).toBe('1 of 30 jobs, newest first');
    await page.getByRole('link', { name: 'A-9' }).click();
    await page.getByRole('link', { name: 'Mend this job' }).click();
    await page.getByRole('radio', { name: 'severe' }).check();
    await page.getByRole('button', { name: 'Store' }).last().click();
    expect(await page.getByRole('status').textContent()).toContain('What it was before is kept below');
    expect(await page.getByText('Front seats (2), soil: severe; it was heavy').count()).toBe(1);
    await page.getByRole('link', { name: 'As it stood before, version 1' }).click();
    expect(await page.textContent('main')).toContain('This is how it once stood');
    expect(await stored('A-9')).toMatchObject({ sections: [{ soil: 'severe' }] });
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('stores nothing new where a form is opened and sent as it is', async () => {
    const { page, context } = await visitAs(browser, site, 'technician');
    await page.goto('/records/job/mend?ref=A-3');
    await page.getByRole('button', { name: 'Store' }).last().click();
    expect(await page.getByRole('status').textContent()).toContain('Nothing was changed');
    await context.close();
  });

  it('tells two at the same job of each other, and loses neither', async () => {
    const first = await visitAs(browser, site, 'desk');
    const second = await visitAs(browser, site, 'owner');
    for (const { page } of [first, second]) await page.goto('/records/job/mend?ref=A-4');
    await first.page.getByRole('radio', { name: 'light' }).check();
    await first.page.getByRole('button', { name: 'Store' }).last().click();
    await second.page.getByLabel('Minutes').fill('55');
    await second.page.getByRole('button', { name: 'Store' }).last().click();
    expect(await second.page.textContent('main')).toContain('soil: light; it was heavy');
    expect(await second.page.getByLabel('Minutes').inputValue()).toBe('55');
    expect(await axeFindings(second.page)).toEqual([]);
    await second.page.getByRole('radio', { name: 'light' }).check();
    await second.page.getByRole('button', { name: 'Store mine all the same' }).last().click();
    expect(await stored('A-4')).toMatchObject({ labour: [{ minutes: 55 }], sections: [{ soil: 'light' }] });
    await first.context.close();
    await second.context.close();
  });

  it('lets an owner confirm a doubtful job by keyboard alone', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'owner', { screen: 'desk' });
    await page.goto('/records/doubtful');
    expect(await page.textContent('main')).toMatch(/42\sh of work; .* was to be expected/);
    expect(await axeFindings(page)).toEqual([]);
    await tabTo(page, 'form[action="/records/doubtful/confirm"] button');
    await page.keyboard.press('Enter');
    await page.getByRole('status').waitFor();
    expect(await page.getByRole('status').textContent()).toContain(`Job ${slip} is confirmed`);
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('lets an owner take a job out after asking once more', async () => {
    const { page, context } = await visitAs(browser, site, 'owner');
    await page.goto('/records/job?ref=A-20');
    await page.getByRole('link', { name: 'Take it out' }).click();
    expect(await axeFindings(page)).toEqual([]);
    await page.getByRole('button', { name: 'Take it out' }).click();
    expect(await page.textContent('main')).toContain('This job was taken out');
    expect(await stored('A-20')).toBeUndefined();
    await context.close();
  });

  it('keeps a technician to mending: no list, no versions, nothing taken out or confirmed', async () => {
    const { page, context } = await visitAs(browser, site, 'technician');
    for (const path of [
      '/records',
      '/records/doubtful',
      '/records/job/version?ref=A-9&version=1',
      '/records/job/take-out?ref=A-9',
    ])
      expect((await page.goto(path))?.status(), path).toBe(403);
    await page.goto('/records/job?ref=A-9');
    expect(await page.getByRole('link', { name: 'Mend this job' }).count()).toBe(1);
    expect(await page.textContent('main')).not.toMatch(/Take it out|As it stood before/);
    await context.close();
  });

  it('is readable, fits phone and desk, and has targets large enough', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'owner');
    for (const path of [
      '/records',
      '/records?technician=mira&from=nothing',
      '/records/doubtful',
      '/records/job?ref=A-9',
      '/records/job/version?ref=A-9&version=1',
      '/records/job/mend?ref=A-9',
    ]) {
      await page.goto(path);
      expect(await axeFindings(page), path).toEqual([]);
      expect(await sidewaysFindings(page), path).toEqual([]);
      expect(await smallTargets(page), path).toEqual([]);
    }
    expect(troubles).toEqual([]);
    await context.close();
  });
});

/** Presses the tab key until the element has the focus. */
async function tabTo(page: Page, selector: string): Promise<void> {
  for (let presses = 0; presses < 60; presses += 1) {
    await page.keyboard.press('Tab');
    if (await page.evaluate<boolean>(`document.activeElement?.matches(${JSON.stringify(selector)}) ?? false`)) return;
  }
  throw new Error(`${selector} is not reached by the tab key`);
}
