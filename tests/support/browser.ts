/** A real browser for tests: the one inside the package, with arguments of our own (the package's switch web security off). */
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import packaged from '@sparticuz/chromium';
import { type Browser, chromium } from 'playwright-core';

export type { Browser, BrowserContext, Locator, Page } from 'playwright-core';

const cache = fileURLToPath(new URL('../../node_modules/.cache/secondpass/', import.meta.url));
const version = '147.0.0';
const browserArguments = [
  '--no-sandbox',
  '--disable-gpu',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--font-render-hinting=none',
];
/** The package's own file looks for its fonts in folders of the system's, which they need not be in. */
const ownFonts = `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir prefix="relative">fonts</dir></fontconfig>
`;

/**
 * The browser, or undefined where none can start on this machine: then the tests that need it are to be left out
 * (`describe.skipIf(!browser)`), and one line says what to install. With CI=true that is an error instead.
 */
export async function openBrowser(): Promise<Browser | undefined> {
  try {
    return await launch();
  } catch (error) {
    if (process.env.CI === 'true') throw error;
    tellOnce(`Browser tests are left out: ${reasonOf(error)}. On Debian or Ubuntu: apt-get install libnss3`);
    return undefined;
  }
}

async function launch(): Promise<Browser> {
  const folder = await unpack();
  // Its own fonts alone: a page is as wide here as on any other machine, and one without any font has some.
  const env = { ...process.env, FONTCONFIG_FILE: join(folder, 'fonts/own-fonts.conf') };
  return chromium.launch({ executablePath: join(folder, 'chromium'), args: browserArguments, headless: true, env });
}

/** Unpacks beside its final place and renames: test files that start at the same moment do not disturb each other. */
async function unpack(): Promise<string> {
  const folder = join(cache, `browser-${version}`);
  if (existsSync(folder)) return folder;
  mkdirSync(cache, { recursive: true });
  const staging = mkdtempSync(join(cache, 'unpacking-'));
  const before = process.env.TMPDIR;
  process.env.TMPDIR = staging; // where the package unpacks to
  try {
    await packaged.executablePath();
    writeFileSync(join(staging, 'fonts/own-fonts.conf'), ownFonts);
    renameSync(staging, folder);
  } catch (error) {
    rmSync(staging, { recursive: true, force: true });
    if (!existsSync(folder)) throw error;
  } finally {
    if (before === undefined) delete process.env.TMPDIR;
    else process.env.TMPDIR = before;
  }
  return folder;
}

function reasonOf(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error);
  return /error while loading shared libraries: [^\n]*/.exec(text)?.[0] ?? text.split('\n')[0] ?? text;
}

/** Every test file opens a browser in a process of its own; the run has one parent and hears it once. */
function tellOnce(line: string): void {
  try {
    writeFileSync(join(tmpdir(), `secondpass-no-browser-${process.ppid}`), '', { flag: 'wx' });
  } catch {
    return; // told already
  }
  console.warn(line);
}
