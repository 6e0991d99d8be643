/** Everything that pages load beside themselves: styles, small scripts, the icon. Each is named by its content's digest. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { extname } from 'node:path';
import { fileURLToPath } from 'node:url';

interface Asset {
  readonly type: string;
  readonly body: string;
}

/** The address of an asset; it changes with the content, so a browser may keep it for ever. Throws for an unknown name. */
export function assetHref(name: string): string {
  const href = hrefs.get(name);
  if (href === undefined) throw new Error(`src/pages/assets has no ${name}`);
  return href;
}

/** What is served at `/assets/<file>`. */
export function assetAt(file: string): Asset | undefined {
  return byFile.get(file);
}

const folder = fileURLToPath(new URL('./assets/', import.meta.url));
const types: Readonly<Record<string, string>> = {
  '.css': 'text/css; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.webmanifest': 'application/manifest+json',
};

const hrefs = new Map<string, string>();
const byFile = new Map<string, Asset>();
for (const name of readdirSync(folder)) {
  const extension = extname(name);
  const type = types[extension];
  if (type === undefined) continue;
  const body = readFileSync(folder + name, 'utf8');
  const digest = createHash('sha256').update(body).digest('hex').slice(0, 12);
  const file = `${name.slice(0, -extension.length)}.${digest}${extension}`;
  hrefs.set(name, `/assets/${file}`);
  byFile.set(file, { type, body });
}
