/** Visits of a page in a browser, and what every page has to stand up to. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import type { Role } from '../../src/domain/vocabulary.ts';
import type { Site } from './site.ts';

/** A phone in the bay and a screen on the desk. */
export const widths = { phone: { width: 390, height: 844 }, desk: { width: 1280, height: 900 } } as const;

export interface VisitOptions {
  readonly screen?: keyof typeof widths;
  readonly scripts?: boolean;
  readonly dark?: boolean;
}

export interface Visit {
  readonly context: BrowserContext;
  readonly page: Page;
  /** What went wrong in the browser so far: errors, refused content, anything asked of another host. */
  readonly troubles: string[];
}

/** A browser of its own, with nobody signed in. */
export async function visit(browser: Browser, site: Site, options: VisitOptions = {}): Promise<Visit> {
  const { screen = 'phone', scripts = true, dark = false } = options;
  const context = await browser.newContext({
    baseURL: site.address,
    viewport: widths[screen],
    hasTouch: screen === 'phone',
    javaScriptEnabled: scripts,
    colorScheme: dark ? 'dark' : 'light',
    locale: 'en-GB',
  });
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  return { context, page, troubles: troublesOf(page, site.address) };
}

/** The same with somebody of this role signed in, by a link. */
export async function visitAs(browser: Browser, site: Site, role: Role, options: VisitOptions = {}): Promise<Visit> {
  const visited = await visit(browser, site, options);
  await visited.page.goto(await site.link(role));
  await visited.page.getByRole('button', { name: /^Sign in as/ }).click();
  await visited.page.waitForURL('**/start');
  return visited;
}

/** What axe finds on the page as it stands, light and dark; one line a finding. */
export async function axeFindings(page: Page): Promise<string[]> {
  const findings: string[] = [];
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    // CSP does not reach what the tester evaluates. Rules of all levels, best practices too.
    await page.evaluate(axeSource);
    const found = await page.evaluate<AxeViolation[]>('axe.run(document).then((result) => result.violations)');
    for (const { id, help, nodes } of found)
      findings.push(`${colorScheme}: ${id} (${help}): ${nodes.map((node) => node.target.join(' ')).join('; ')}`);
  }
  await page.emulateMedia({ colorScheme: 'light' });
  return findings;
}

/** What juts out sideways at the widths of phone and desk, or is cut off in a box of its own; one line a width and element. */
export async function sidewaysFindings(page: Page): Promise<string[]> {
  const before = page.viewportSize();
  const findings: string[] = [];
  await page.evaluate(unfold);
  for (const size of Object.values(widths)) {
    await page.setViewportSize(size);
    const jutting = [...(await page.evaluate<string[]>(juttingOut)), ...(await page.evaluate<string[]>(cutOff))];
    findings.push(...jutting.map((element) => `${size.width} px: ${element}`));
  }
  if (before) await page.setViewportSize(before);
  await page.evaluate(foldAgain);
  return findings;
}

/** Controls and links smaller than 44 px either way, but for links within a line of text, as WCAG 2.5.5 leaves them out. */
export async function smallTargets(page: Page): Promise<string[]> {
  return page.evaluate<string[]>(tooSmall);
}

interface AxeViolation {
  readonly id: string;
  readonly help: string;
  readonly nodes: readonly { readonly target: readonly string[] }[];
}

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** In the page's own language: the tests are compiled without the browser's types. */
const juttingOut = `(() => {
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= wide) return [];
  const out = [...document.querySelectorAll('body *')].filter((e) => e.getBoundingClientRect().right > wide + 1 && !e.closest('.scroll'));
  return out.length ? out.slice(0, 5).map((e) => e.tagName.toLowerCase() + '.' + e.className + ' ' + e.textContent.slice(0, 40)) : ['the page itself'];
})()`;

/** What is folded away is looked at too, and folded again. */
const unfold = `document.querySelectorAll('main details:not([open])').forEach((e) => { e.open = true; e.dataset.unfolded = ''; })`;
const foldAgain = `document.querySelectorAll('details[data-unfolded]').forEach((e) => { e.open = false; delete e.dataset.unfolded; })`;

const cutOff = `[...document.querySelectorAll('.scroll')]
  .filter((e) => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1)
  .map((e) => e.ariaLabel + ' is ' + e.scrollWidth + ' px wide in a box of ' + e.clientWidth)`;

const tooSmall = `(() => {
  const controls = document.querySelectorAll('button, select, textarea, summary, input:not([type=hidden]), a.button, nav a, .ways a');
  const alone = [...document.querySelectorAll('main a')].filter((e) => e.parentElement.textContent.trim() === e.textContent.trim());
  const seen = [...new Set([...controls, ...alone])].filter((e) => e.checkVisibility({ visibilityProperty: true }));
  return seen.flatMap((e) => {
    const box = (e.closest('label') ?? e).getBoundingClientRect();
    const fits = box.width >= 43.5 && box.height >= 43.5;
    return fits ? [] : [e.tagName.toLowerCase() + ' "' + (e.textContent || e.name || '').trim().slice(0, 30) + '" ' + Math.round(box.width) + '×' + Math.round(box.height)];
  });
})()`;

function troublesOf(page: Page, address: string): string[] {
  const troubles: string[] = [];
  page.on('pageerror', (error) => troubles.push(`error: ${error.message}`));
  page.on('console', (message) => {
    if (message.type() === 'error' && !/status of 4\d\d/.test(message.text())) troubles.push(message.text());
  });
  page.on('request', (request) => {
    const outside = /^https?:/.test(request.url()) && !request.url().startsWith(address);
    if (outside) troubles.push(`asked of another host: ${request.url()}`);
  });
  return troubles;
}
