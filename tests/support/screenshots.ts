/**
 * `node --import tsx tests/support/screenshots.ts FOLDER [PATH…]`: pictures of every screen that the navigation names
 * (or of the paths given), as phone and desk see them, of the invented shop with all that it has learnt.
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openDatabase } from '../../db/open.ts';
import { areas } from '../../src/pages/navigation.ts';
import { type Browser, openBrowser } from './browser.ts';
import { type Site, startSite } from './site.ts';
import { type VisitOptions, visit, visitAs } from './visit.ts';

const looks: Readonly<Record<string, VisitOptions>> = {
  phone: { screen: 'phone' },
  'phone-dark': { screen: 'phone', dark: true },
  desk: { screen: 'desk' },
  'desk-dark': { screen: 'desk', dark: true },
};

const [folder, ...wanted] = process.argv.slice(2);
if (!folder) throw new Error('the folder for the pictures is missing');
mkdirSync(folder, { recursive: true });
const browser = await openBrowser();
if (!browser) throw new Error('no browser can start here');
const dataDir = mkdtempSync(join(tmpdir(), 'secondpass-pictures-'));
const db = await openDatabase({ databaseUrl: process.env.DATABASE_URL, dataDir, onProgress: console.error });
try {
  const site = await startSite(db, { shop: 'learnt' });
  const paths = ['/start', '/account', ...areas.flatMap(({ places }) => places.map(({ path }) => path))];
  for (const [look, options] of Object.entries(looks)) await take(browser, site, look, options, paths);
  await site.stop();
} finally {
  await browser.close();
  await db.close();
  rmSync(dataDir, { recursive: true, force: true });
}

async function take(b: Browser, site: Site, look: string, options: VisitOptions, paths: readonly string[]) {
  const stranger = await visit(b, site, options);
  await stranger.page.goto('/sign-in');
  await stranger.page.screenshot({ path: join(folder ?? '', `sign-in.${look}.png`), fullPage: true });
  const { page, troubles } = await visitAs(b, site, 'owner', options);
  for (const path of wanted.length > 0 ? wanted : paths) {
    await page.goto(path);
    const name = path.slice(1).replaceAll(/[^\w-]+/g, '-');
    await page.screenshot({ path: join(folder ?? '', `${name}.${look}.png`), fullPage: true });
  }
  for (const trouble of troubles) console.error(`${look}: ${trouble}`);
  await page.context().close();
  await stranger.context.close();
}
