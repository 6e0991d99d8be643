import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { countRecords, readRecord } from '../../src/store/records.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { openBrowser, type Page } from '../support/browser.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';
import { type Site, startSite } from '../support/site.ts';
import { axeFindings, sidewaysFindings, smallTargets, visitAs } from '../support/visit.ts';

const browser = await openBrowser();

/** An invented sheet: headings and words of its own, US units, three bad lines (5, 6 and 8), and a doubtful one (7). */
const sheet = [
  'Job #,Date,Vehicle,Tech,Labor minutes,Machine,Section,Seat material,Dirt level,Process,Wet passes,Water used gal,Remarks',
  'W-1,02/13/2025,saloon,Ida,90,Grey barrel,front,woven,medium,HWE,2,1.5,"two, with a comma"',
  'W-1,02/13/2025,saloon,Ida,90,Grey barrel,back seat,woven,filthy,HWE,3,1.5,"two, with a comma"',
  'W-2,02/14/2025,estate,Ida & Olga,60,Grey barrel,front,velour,sticky,HWE,1,1,',
  'W-3,02/30/2025,estate,Ida,60,Grey barrel,front,velour,medium,HWE,1,1,',
  'W-4,02/15/2025,estate,Ida,60,Grey barrel,front,velour,medium,HWE,often,1,',
  'W-5,02/16/2025,estate,Ida,60,,front,velour,low,HWE,1,1,',
  'W-6,02/17/2025,estate,Ida,60,Grey barrel,front,velour,low,HWE,1,1,,one too many',
].join('\r\n');

describe.skipIf(!browser)('contract: taking in a spreadsheet, in a browser', () => {
  if (!browser) return;
  let db: FreshDatabase;
  beforeAll(async () => {
    db = await freshDatabase();
  });
  afterAll(async () => {
    await browser.close();
    await db?.close();
  });

  async function openSite(): Promise<Site> {
    const site = await startSite(db);
    await inShop(db, site.shopId, async (tx) => {
      await putTechnicians(tx, [{ key: 'ida', name: 'Ida' }]);
      await putMachines(tx, [{ key: 'grey-barrel', name: 'Grey barrel', kind: 'extractor', grade: 'entry' }]);
    });
    return site;
  }

  const jobs = (site: Site) => inShop(db, site.shopId, (tx) => countRecords(tx, {}, 100));

  it.each([
    ['desk', true],
    ['phone', false],
  ] as const)(
    'from the file to the store on a %s, scripts %s, and a second time without a change',
    async (screen, scripts) => {
      const site = await openSite();
      const { page, context, troubles } = await visitAs(browser, site, 'owner', { screen, scripts });
      const looks = scripts ? standsUp : async () => {};
      await page.goto('/import');
      await looks(page);
      await send(page);
      expect(await page.inputValue('[name=ref]')).toBe('c0');
      expect(await page.inputValue('[name=soil]')).toBe('c8');
      expect(await page.inputValue('[name=job-sprayed-l]')).toBe('c11');
      await looks(page);
      await page.selectOption('[name=soil]', '');
      await page.getByRole('button', { name: 'On to units and words' }).click();
      expect(await page.textContent('[role=alert]')).toContain('Section: soil: a job needs it');
      expect(await page.inputValue('[name=ref]')).toBe('c0');
      await page.selectOption('[name=soil]', 'c8');
      await page.getByRole('button', { name: 'On to units and words' }).click();
      await page.waitForURL('**/values');
      await looks(page);
      expect(await page.inputValue('[name=unit-job-sprayed-l]')).toBe('US gal');
      await page.getByLabel('“sticky” is').selectOption('heavy');
      await page.getByRole('button', { name: 'Check every line' }).click();
      await page.waitForURL('**/check');
      expect(await page.textContent('.answer')).toContain('2 jobs can be taken in, and 4 jobs cannot be.');
      await looks(page);
      await page.getByRole('button', { name: 'Add them to the lists' }).click();
      expect(await page.textContent('.answer')).toContain('3 jobs can be taken in, and 3 jobs cannot be.');
      expect(await page.locator('.import-problems tbody th').allTextContents()).toEqual(['5', '6', '8', '7']);
      expect(await page.getByText('Something was extracted, but no extractor is named.').isVisible()).toBe(true);
      expect(await jobs(site)).toBe(0);
      await page.getByRole('button', { name: 'Take in 3 jobs' }).click();
      await page.waitForURL('**/result');
      await expect.poll(() => page.textContent('.answer'), { timeout: 60_000 }).toContain('3 jobs stored');
      await looks(page);
      expect(await jobs(site)).toBe(3);
      const stored = await inShop(db, site.shopId, (tx) => readRecord(tx, 'W-2'));
      expect(stored?.record).toMatchObject({ sections: [{ soil: 'heavy' }], sprayedLitres: 3.785411784 });
      expect(stored?.record.labour.map(({ technician }) => technician)).toEqual(['ida', 'Olga']);

      await page.goto('/import');
      await send(page);
      await page.getByRole('button', { name: 'On to units and words' }).click();
      await page.getByLabel('“sticky” is').selectOption('heavy');
      await page.getByRole('button', { name: 'Check every line' }).click();
      await page.waitForURL('**/check');
      expect(await page.textContent('.answer')).toContain('0 jobs can be taken in');
      expect(await page.textContent('.import-counts')).toContain('There already3 jobs');
      expect((await inShop(db, site.shopId, (tx) => readRecord(tx, 'W-1')))?.version).toBe(1);
      expect(troubles).toEqual([]);
      await context.close();
      await site.stop();
    },
    120_000,
  );

  it('gives out all jobs as a file, by keyboard too', async () => {
    const site = await openSite();
    const { page, context, troubles } = await visitAs(browser, site, 'owner', { screen: 'phone' });
    await page.goto('/export');
    await standsUp(page);
    const button = page.getByRole('button', { name: 'Download the jobs' });
    await button.focus();
    const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')]);
    expect(download.suggestedFilename()).toBe('jobs.csv');
    expect(troubles).toEqual([]);
    await context.close();
    await site.stop();
  });

  it('is not for technician and desk', async () => {
    const site = await openSite();
    for (const role of ['technician', 'desk'] as const) {
      const { page, context } = await visitAs(browser, site, role);
      for (const path of ['/import', '/export']) {
        expect((await page.goto(path))?.status()).toBe(403);
        expect(await page.locator(`nav a[href="${path}"]`).count()).toBe(0);
      }
      await context.close();
    }
    await site.stop();
  });
});

async function send(page: Page): Promise<void> {
  await page.setInputFiles('input[type=file]', {
    name: 'winter.csv',
    mimeType: 'text/csv',
    buffer: Buffer.from(sheet),
  });
  await page.getByRole('button', { name: 'Look at it' }).click();
  await page.waitForURL('**/columns');
}

async function standsUp(page: Page): Promise<void> {
  expect(await axeFindings(page)).toEqual([]);
  expect(await sidewaysFindings(page)).toEqual([]);
  expect(await smallTargets(page)).toEqual([]);
}
