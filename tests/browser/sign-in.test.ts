import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeLink } from '../../src/store/entry-links.ts';
import { addPerson } from '../../src/store/people.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { openBrowser, type Page } from '../support/browser.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';
import { type Site, startSite } from '../support/site.ts';
import { axeFindings, sidewaysFindings, smallTargets, visit, visitAs } from '../support/visit.ts';

const browser = await openBrowser();

describe.skipIf(!browser)('contract: signing in, in a browser', () => {
  if (!browser) return;
  let db: FreshDatabase;
  let site: Site;
  beforeAll(async () => {
    db = await freshDatabase();
    site = await startSite(db);
  });
  afterAll(async () => {
    await browser.close();
    await site?.stop();
    await db?.close();
  });

  async function invitation(signInName: string): Promise<string> {
    return inShop(db, site.shopId, async (tx) => {
      const person = await addPerson(tx, { name: 'Invented Ines', signInName, role: 'technician' });
      if (!person) throw new Error(`${signInName} is taken`);
      return site.address + (await makeLink(tx, person.personId, 'set-password', site.now())).path;
    });
  }

  it('takes an invited technician from the link to the first page and back in by password, by keyboard alone', async () => {
    const { page, context, troubles } = await visit(browser, site);
    await page.goto(await invitation('ines'));
    expect(await axeFindings(page)).toEqual([]);
    await tabTo(page, 'input[name=password]');
    await page.keyboard.type('four brown buckets');
    await page.keyboard.press('Tab');
    await page.keyboard.type('four brown buckets');
    await page.keyboard.press('Enter');
    await page.waitForURL('**/start');
    await tabTo(page, 'form[action="/sign-out"] button');
    await page.keyboard.press('Enter');
    await page.waitForURL('**/sign-in');
    await tabTo(page, 'input[name=signInName]');
    await page.keyboard.type('ines');
    await page.keyboard.press('Tab');
    await page.keyboard.type('four brown buckets');
    await page.keyboard.press('Enter');
    await page.waitForURL('**/start');
    expect(await page.textContent('main')).toContain('Invented Ines');
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('says what was wrong and keeps the name that was typed, with scripts off', async () => {
    const { page, context } = await visit(browser, site, { scripts: false });
    await page.goto('/sign-in');
    await page.fill('input[name=signInName]', 'nobody');
    await page.fill('input[name=password]', 'not the password');
    await page.click('button');
    expect(await page.textContent('[role=alert]')).toContain('not right');
    expect(await page.inputValue('input[name=signInName]')).toBe('nobody');
    await context.close();
  });

  it('comes back to the page that was asked for, and to no other site', async () => {
    const { page, context } = await visit(browser, site);
    await page.goto('/people?x=1');
    expect(new URL(page.url()).pathname).toBe('/sign-in');
    expect(await page.inputValue('input[name=back]')).toBe('/people?x=1');
    for (const bad of ['//elsewhere.invalid', '/\\elsewhere.invalid', 'https://elsewhere.invalid']) {
      await page.goto(`/sign-in?back=${encodeURIComponent(bad)}`);
      expect(await page.inputValue('input[name=back]')).toBe('/start');
    }
    await context.close();
  });

  it('keeps each role out of what is not its own, with a page that says so', async () => {
    for (const role of ['technician', 'desk'] as const) {
      const { page, context } = await visitAs(browser, site, role);
      for (const path of ['/people', '/keys', '/setup']) {
        const answer = await page.goto(path);
        expect(answer?.status(), path).toBe(403);
        expect(await page.textContent('h1')).toBe('Not for you');
        expect(await page.locator(`nav a[href="${path}"]`).count()).toBe(0);
      }
      expect(await axeFindings(page)).toEqual([]);
      await context.close();
    }
  });

  it('is readable, fits the screen and has targets large enough', async () => {
    const stranger = await visit(browser, site);
    for (const path of ['/sign-in', '/no-such-page']) {
      await stranger.page.goto(path);
      expect(await axeFindings(stranger.page), path).toEqual([]);
      expect(await sidewaysFindings(stranger.page), path).toEqual([]);
      expect(await smallTargets(stranger.page), path).toEqual([]);
    }
    await stranger.context.close();
    const owner = await visitAs(browser, site, 'owner');
    for (const path of ['/start', '/account', '/people', '/keys', '/setup', '/technicians', '/machines']) {
      await owner.page.goto(path);
      expect(await axeFindings(owner.page), path).toEqual([]);
      expect(await sidewaysFindings(owner.page), path).toEqual([]);
      expect(await smallTargets(owner.page), path).toEqual([]);
    }
    expect([...stranger.troubles, ...owner.troubles]).toEqual([]);
    await owner.context.close();
  });

  it('lets an owner set up an empty shop, mending what was wrong where it is wrong', async () => {
    const { page, context, troubles } = await visitAs(browser, site, 'owner', { screen: 'desk' });
    await page.goto('/machines');
    await page.fill('input[name=name]', 'Blue Drum (invented)');
    await page.fill('input[name=key]', 'blue drum');
    await page.fill('input[name="waterLiftKpa:kilopascals"]', 'strong');
    await page.getByRole('button', { name: 'Add' }).click();
    expect(await page.getByRole('alert').getByRole('listitem').count()).toBe(2);
    expect(await axeFindings(page)).toEqual([]);
    await page.getByRole('alert').getByRole('link').first().click();
    expect(await page.evaluate('document.activeElement?.getAttribute("name")')).toBe('key');
    await page.fill('input[name=key]', 'blue-drum');
    expect(await page.inputValue('input[name="waterLiftKpa:kilopascals"]')).toBe('strong');
    await page.fill('input[name="waterLiftKpa:kilopascals"]', '25,5');
    await page.getByRole('button', { name: 'Add' }).click();
    await page.getByRole('link', { name: 'Blue Drum (invented), blue-drum' }).click();
    expect(await page.inputValue('input[name="waterLiftKpa:kilopascals"]')).toBe('25.5');
    expect(await axeFindings(page)).toEqual([]);
    await page.goto('/setup');
    await page.getByLabel('Gallons').check();
    await page.getByRole('button', { name: 'Store' }).click();
    expect(await page.getByRole('status').textContent()).toContain('Stored');
    await page.goto('/machines/blue-drum');
    expect(await page.inputValue('input[name="waterLiftKpa:kilopascals"]')).toBe('102.4'); // 25.5 / 0.24908891
    expect(troubles).toEqual([]);
    await context.close();
  });

  it('lets an owner invite somebody and end their session', async () => {
    const { page, context } = await visitAs(browser, site, 'owner');
    await page.goto('/people');
    await page.fill('input[name=name]', 'Invented Tia');
    await page.fill('input[name=signInName]', 'tia');
    await page.getByRole('button', { name: 'Make an invitation link' }).click();
    const link = (await page.textContent('code.once')) ?? '';
    expect(await axeFindings(page)).toEqual([]);
    expect(await sidewaysFindings(page)).toEqual([]);
    const invited = await visit(browser, site);
    await invited.page.goto(link);
    await invited.page.fill('input[name=password]', 'seven dry towels');
    await invited.page.fill('input[name=again]', 'seven dry towels');
    await invited.page.getByRole('button').click();
    await invited.page.waitForURL('**/start');
    await page.goto('/people');
    await page.getByRole('link', { name: /^Invented Tia/ }).click();
    expect(await axeFindings(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    await page.getByRole('button', { name: /^End this session/ }).click();
    await invited.page.goto('/start');
    expect(new URL(invited.page.url()).pathname).toBe('/sign-in');
    await invited.context.close();
    await context.close();
  });
});

/** Presses the tab key until the element has the focus. */
async function tabTo(page: Page, selector: string): Promise<void> {
  for (let presses = 0; presses < 40; presses += 1) {
    await page.keyboard.press('Tab');
    if (await page.evaluate<boolean>(`document.activeElement?.matches(${JSON.stringify(selector)}) ?? false`)) return;
  }
  throw new Error(`${selector} is not reached by the tab key`);
}
