import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createFitCache } from '../../src/http/fit-cache.ts';
import { createReportSource } from '../../src/http/report-basis.ts';
import { createReportReaders } from '../../src/http/report-readers.ts';
import { machinesSentence } from '../../src/insight/machines/report.ts';
import { quotesSentence } from '../../src/insight/quotes/report.ts';
import { trackSentence } from '../../src/insight/track-sentence.ts';
import { openBrowser } from '../support/browser.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';
import { type Site, startSite } from '../support/site.ts';
import { axeFindings, sidewaysFindings, smallTargets, visitAs } from '../support/visit.ts';

const browser = await openBrowser();

/** The spaces that keep a figure on one line as plain ones, as the reports have them. */
const plain = (text: string | null) => text?.replaceAll('\u00A0', ' ');

describe.skipIf(!browser)('contract: the findings, in a browser', () => {
  if (!browser) return;
  let db: FreshDatabase;
  let site: Site;
  beforeAll(async () => {
    db = await freshDatabase();
    site = await startSite(db, { shop: 'learnt' });
  });
  afterAll(async () => {
    await browser.close();
    await site?.stop();
    await db?.close();
  });

  it('gives the owner the four answers that the reports give, each with what stands behind it', async () => {
    const reports = createReportReaders({ db, now: site.now }, createReportSource(createFitCache()));
    const machines = await reports.machines(site.shopId);
    const answers = {
      quotes: quotesSentence(await reports.quotes(site.shopId)),
      machines: 'whyNot' in machines ? machines.whyNot : machinesSentence(machines),
      wetness: (await reports.wetness(site.shopId)).answer,
      'track-record': trackSentence(await reports.trackRecord(site.shopId)),
    };
    const { page, context, troubles } = await visitAs(browser, site, 'owner', { screen: 'desk' });
    await page.goto('/findings');
    const said = plain(await page.textContent('main'));
    for (const [name, answer] of Object.entries(answers)) {
      expect(said, name).toContain(answer);
      expect(await page.locator(`main a[href="/findings/${name}"]`).count(), name).toBe(1);
    }
    for (const [name, answer] of Object.entries(answers)) {
      await page.goto(`/findings/${name}`);
      expect(plain(await page.locator('.answer').first().textContent()), name).toBe(answer);
      expect(await page.locator('figure svg[role=img] title').first().textContent(), name).not.toBe('');
      expect(await page.locator('figure table tbody tr').count(), name).toBeGreaterThan(2);
      expect(await page.locator('main svg circle').count(), name).toBeGreaterThan(1);
    }
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('shows in each table the numbers of its file, and draws every line of it', async () => {
    const { page, context } = await visitAs(browser, site, 'owner', { screen: 'desk' });
    const jobsIn = { quotes: 'jobs', machines: 'jobs', wetness: 'measured_jobs', comebacks: 'jobs' } as const;
    for (const [name, column] of Object.entries(jobsIn)) {
      await page.goto(`/findings/${name}`);
      const figure = page.locator('figure').first();
      const rows = figure.locator('tbody tr').filter({ hasNotText: 'All jobs' });
      const shown = await rows.locator('td:nth-child(2)').allTextContents();
      const file = await page.request.get(`/findings/${name}.csv`);
      const told = parse(await file.text(), { columns: true }) as Record<string, string>[];
      expect(shown, name).toEqual(told.map((row) => row[column]));
      const drawn = { quotes: told.length + 1, machines: told.length - 1, wetness: 2 * told.length };
      expect(await figure.locator('circle').count(), name).toBe({ ...drawn, comebacks: told.length + 1 }[name]);
    }
    await context.close();
  });

  it('is asked and read by keyboard alone', async () => {
    const { page, context } = await visitAs(browser, site, 'owner', { screen: 'desk' });
    await page.goto('/findings/quotes');
    const tabTo = async (what: string) => {
      for (let i = 0; i < 80; i++) {
        await page.keyboard.press('Tab');
        if (await page.evaluate<boolean>(`document.activeElement?.matches(${JSON.stringify(what)})`)) return;
      }
      throw new Error(`${what} is not reached by the tab key`);
    };
    await tabTo('figure summary');
    await page.keyboard.press('Enter');
    expect(await page.locator('figure details').getAttribute('open')).not.toBeNull();
    await tabTo('input[name="percent:number"]');
    await page.keyboard.press('Control+A');
    await page.keyboard.type('95');
    await page.keyboard.press('Enter');
    await page.getByText('you aim at 95 in 100').waitFor();
    await context.close();
  });

  it('reckons whether a better extractor pays, and says what is missing at its field', async () => {
    const { page, context } = await visitAs(browser, site, 'owner', { screen: 'desk', scripts: false });
    await page.goto('/findings/machines');
    await page.getByLabel('high', { exact: true }).check();
    await page.getByRole('button', { name: 'Reckon it' }).click();
    expect(await page.locator('.faults').textContent()).toContain('What it costs');
    expect(await page.getByLabel('high', { exact: true }).isChecked()).toBe(true);
    await page.getByLabel(/What it costs/).fill('2400');
    await page.getByRole('button', { name: 'Reckon it' }).click();
    expect(await page.locator('#upgrade .answer').textContent()).toMatch(/90\s% range .* months \(8 of 10: /);
    expect(await page.locator('#upgrade').textContent()).toContain('Bay time saved a month');
    expect(await page.locator('#upgrade svg title').textContent()).toMatch(/as likely as not: by month \d+;/);
    await context.close();
  });

  it('quotes more hours where fewer jobs may run over', async () => {
    const { page, context } = await visitAs(browser, site, 'desk', { scripts: false });
    const hours = async (risk: string) => {
      await page.goto('/findings/quotes');
      await page.getByLabel('How many jobs may run over').fill(risk);
      await page.getByRole('button', { name: 'Compare' }).click();
      const told = await page.locator('table').last().locator('tbody tr').last().locator('td').nth(1).textContent();
      return Number(/^([\d.]+)\sh$/.exec(told ?? '')?.[1]);
    };
    expect(await hours('5')).toBeGreaterThan(await hours('40'));
    await context.close();
  });

  it('shows the desk what it shows the owner, and the technician nothing', async () => {
    const desk = await visitAs(browser, site, 'desk');
    await desk.page.goto('/findings');
    expect(await desk.page.locator('main a[href="/findings/wetness"]').count()).toBe(1);
    for (const path of ['/findings/wetness', '/findings/machines'])
      expect((await desk.page.goto(path))?.status(), path).toBe(200);
    await desk.context.close();
    const technician = await visitAs(browser, site, 'technician');
    expect((await technician.page.goto('/findings'))?.status()).toBe(403);
    await technician.context.close();
  });

  it('is readable light and dark, fits phone and desk, and weighs little', async () => {
    const { page, context } = await visitAs(browser, site, 'owner');
    const style = (
      await (await page.request.get((await page.locator('link[rel=stylesheet]').getAttribute('href')) ?? '')).body()
    ).length;
    for (const path of [
      '/findings',
      '/findings/quotes',
      '/findings/machines?price%3Anumber=900&grade=high',
      '/findings/wetness',
      '/findings/comebacks',
    ]) {
      const answer = await page.goto(path);
      expect(style + ((await answer?.body())?.length ?? 0), path).toBeLessThan(150_000);
      expect(await axeFindings(page), path).toEqual([]);
      expect(await sidewaysFindings(page), path).toEqual([]);
      expect(await smallTargets(page), path).toEqual([]);
    }
    await context.close();
  });
});
