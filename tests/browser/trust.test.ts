import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inShop } from '../../src/store/shop-scope.ts';
import { readShopSettings } from '../../src/store/shops.ts';
import { openBrowser } from '../support/browser.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';
import { type Site, startSite } from '../support/site.ts';
import { axeFindings, sidewaysFindings, smallTargets, visitAs } from '../support/visit.ts';

const browser = await openBrowser();

/** All that the owner may see here; the desk sees the first four. */
const forDesk = ['/findings/track-record', '/findings/evidence', '/findings/fits', '/findings/what-to-record'];
const forOwner = ['/findings/rules', '/findings/rules?figure=giving-up', '/findings/rules/passes.heavy'];

const mostBytes = 150_000;
/** In the page's own language: the tests are compiled without the browser's types. From a cache too. */
const loadedBytes = `[...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]
  .reduce((sum, { encodedBodySize }) => sum + encodedBodySize, 0)`;

describe.skipIf(!browser)('contract: how far the figures can be trusted, in a browser', () => {
  if (!browser) return;
  let db: FreshDatabase;
  let site: Site;
  beforeAll(async () => {
    db = await freshDatabase();
    site = await startSite(db, { shop: 'learnt' });
  }, 240_000);
  afterAll(async () => {
    await browser.close();
    await site?.stop();
    await db?.close();
  });

  it('tells the owner in a sentence how far they can be trusted, with the picture and its numbers', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'owner', { screen: 'desk' });
    await page.goto('/findings/track-record');
    expect(await page.textContent('p.answer')).toMatch(/^On \d+ jobs forecast before they were seen, .+\.$/);
    expect(await page.locator('figure svg[role=img] > title').textContent()).toContain('closer than the rule of thumb');
    await page.getByText('The numbers').click();
    expect(await page.locator('figure tbody tr').count()).toBe(12 * 4);
    const file = page.waitForEvent('download');
    await page.locator('figure').getByRole('link', { name: 'These numbers as CSV' }).click();
    expect((await file).suggestedFilename()).toBe('track-record.csv');
    await page.goto('/findings/evidence');
    expect(await page.textContent('p.answer')).toMatch(/the hours \d\d\u00A0%, the water/);
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('lets the owner take the fit out of use and put it back, with the reason written down, scripts off', async () => {
    const { page, context } = await visitAs(browser, site, 'owner', { scripts: false });
    await page.goto('/findings/fits');
    const inUse = (await page.textContent('p.answer')) ?? '';
    expect(inUse).toMatch(/^Estimates come from the fit of .+, learnt from \d+ finished jobs\.$/);
    await page.locator('tbody a').first().click();
    await page.getByText('Take it out of use').click();
    await page.fill('input[name=why]', 'the tanks were misread');
    await page.getByRole('button', { name: 'Withdraw' }).click();
    expect(await page.getByRole('status').textContent()).toContain('Done');
    expect(await page.textContent('dl.facts')).toMatch(/Withdrawn by hand on .+ UTC by .+: the tanks were misread/);
    await page.goto('/findings/fits');
    expect(await page.textContent('p.answer')).toContain('rules of thumb alone');
    await page.locator('tbody a').first().click();
    await page.getByText('Use it all the same').click();
    await page.getByRole('button', { name: 'Publish' }).click();
    await page.goto('/findings/fits');
    expect(await page.textContent('p.answer')).toBe(inUse);
    expect(await page.locator('tbody tr').first().textContent()).toMatch(/misread Published by hand on .+ UTC by /);
    await context.close();
  });

  it('says that there is nothing new to learn where nothing changed', async () => {
    const { page, context } = await visitAs(browser, site, 'owner');
    await page.goto('/findings/fits');
    await page.getByRole('button', { name: 'Learn now' }).click();
    expect(await page.getByRole('status').textContent()).toContain('nothing new to learn');
    await context.close();
  });

  it('keeps a rule that the owner adjusts, tells a fault at its field, and goes back to the program’s own', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'owner');
    await page.goto('/findings/rules');
    expect(await page.textContent('p.answer')).toContain('rules of thumb');
    await page.getByRole('link', { name: 'Heavy soil asks for half as many passes again' }).click();
    await page.fill('input[name="middle:number"]', 'plenty');
    await page.getByRole('button', { name: 'Store' }).click();
    expect(await page.inputValue('input[name="middle:number"]')).toBe('plenty');
    expect(await axeFindings(page)).toEqual([]);
    await page.getByRole('alert').getByRole('link').first().click();
    expect(await page.evaluate('document.activeElement?.getAttribute("name")')).toBe('middle:number');
    await page.fill('input[name="middle:number"]', '1.7');
    await page.getByRole('button', { name: 'Store' }).click();
    expect(await page.getByRole('status').textContent()).toContain('It counts from the next night on');
    const row = page.locator('tr', { hasText: 'Heavy soil asks' });
    expect(await row.last().textContent()).toMatch(/×\s1\.70 .*adjusted by you/);
    const rules = async () => (await inShop(db, site.shopId, readShopSettings)).rules;
    expect((await rules())['passes.heavy']?.mean).toBeCloseTo(Math.log(1.7), 9);
    await page.getByRole('link', { name: 'Heavy soil asks' }).click();
    await page.getByRole('button', { name: 'Back to the program’s own' }).click();
    expect(await rules()).toEqual({});
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('keeps desk and technician out of what is not theirs', async () => {
    const desk = await visitAs(browser, site, 'desk');
    for (const path of forDesk) expect((await desk.page.goto(path))?.status(), path).toBe(200);
    for (const path of forOwner) expect((await desk.page.goto(path))?.status(), path).toBe(403);
    expect(await desk.page.locator('nav a[href="/findings/rules"]').count()).toBe(0);
    await desk.page.goto('/findings/fits');
    expect(await desk.page.getByRole('button', { name: 'Learn now' }).count()).toBe(0);
    await desk.page.locator('tbody a').first().click();
    expect(await desk.page.getByText('Take it out of use').count()).toBe(0);
    await desk.context.close();
    const bay = await visitAs(browser, site, 'technician');
    for (const path of [...forDesk, ...forOwner]) expect((await bay.page.goto(path))?.status(), path).toBe(403);
    await bay.context.close();
  });

  it('is readable light and dark, fits phone and desk, has targets large enough and is light to load', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'owner');
    await page.goto('/findings/fits');
    const one = (await page.locator('tbody a').first().getAttribute('href')) ?? '';
    for (const path of [...forDesk, ...forOwner, `${one}?figure=passes`, `${one}?figure=drying`]) {
      await page.goto(path, { waitUntil: 'networkidle' });
      const bytes = await page.evaluate<number>(loadedBytes);
      expect(bytes, path).toBeGreaterThan(1000);
      expect(bytes, path).toBeLessThan(mostBytes);
      expect(await axeFindings(page), path).toEqual([]);
      expect(await sidewaysFindings(page), path).toEqual([]);
      expect(await smallTargets(page), path).toEqual([]);
    }
    expect(troubles).toEqual([]);
    await context.close();
  }, 120_000);
});
