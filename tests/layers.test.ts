import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

/** Who may import whom; a file belongs to the longest prefix that fits it. Its own layer is always allowed. */
const allowed: Readonly<Record<string, readonly string[]>> = {
  'src/domain': [],
  'src/inference': [],
  'src/settings.ts': [],
  'src/models': ['src/inference', 'src/domain'],
  'src/insight': ['src/models', 'src/inference', 'src/domain'],
  'src/store': ['db', 'src/domain', 'src/models (types)', 'src/insight (types)'],
  'src/pages': ['src/insight', 'src/domain'],
  'src/http': ['src/pages', 'src/store', 'src/insight', 'src/models', 'src/domain'],
  'src/main.ts': ['src', 'db', 'jobs', 'seed'],
  'src/shop.ts': ['src/settings.ts', 'src/store', 'src/domain', 'db'],
  db: ['src/settings.ts', 'src/domain'],
  jobs: ['src/settings.ts', 'src/models', 'src/insight', 'src/store', 'src/domain', 'db/open.ts', 'db/command.ts'],
  seed: ['src', 'db', 'jobs'],
  tests: ['src', 'db', 'jobs', 'seed'],
};

/** Layers that are given their clock, chance and surroundings as arguments. */
const pure = ['src/domain', 'src/inference', 'src/models', 'src/insight'];
const forbiddenInPure: readonly (readonly [RegExp, string])[] = [
  [/from\s*['"]node:|import\(\s*['"]node:|require\(/, 'node:* (leave I/O to store, jobs or main)'],
  [/\bprocess\s*[.[]/, 'process (settings come as arguments)'],
  [/\bconsole\s*\./, 'console (return what there is to say)'],
  [/\bMath\.random\b/, 'Math.random (take a seeded generator)'],
  [/\bDate\.now\b/, 'Date.now (take `now`)'],
  [/\bnew Date\(\s*\)/, 'new Date() (take `now`)'],
  [/\bperformance\.now\b/, 'performance.now (take `now`)'],
];

interface Import {
  readonly target: string;
  readonly typesOnly: boolean;
}

const root = fileURLToPath(new URL('..', import.meta.url));

describe('contract: layers', () => {
  const files = ['src', 'db', 'jobs', 'seed', 'tests'].flatMap(sourceFiles);

  it('finds the tree it is to judge', () => {
    expect(files).toContain('src/domain/record.ts');
    expect(files).toContain('tests/layers.test.ts');
  });

  it('imports only what its layer may import', () => {
    expect(files.flatMap(importBreaches)).toEqual([]);
  });

  it('keeps clock, chance, console and surroundings out of the pure layers', () => {
    const breaches = files
      .filter((file) => pure.includes(layerOf(file) ?? ''))
      .flatMap((file) => pureBreaches(file, read(file)));
    expect(breaches).toEqual([]);
  });

  it('would see a breach, and names the right way', () => {
    expect(importBreach('src/domain/record.ts', { target: 'src/store/fits.ts', typesOnly: true })).toBe(
      'src/domain/record.ts imports src/store/fits.ts: src/domain may import nothing of ours',
    );
    expect(importBreach('src/store/fits.ts', { target: 'src/models/fit.ts', typesOnly: false })).toContain(
      'src/store may import db, src/domain, src/models (types), src/insight (types)',
    );
    expect(importBreach('src/store/fits.ts', { target: 'src/models/fit.ts', typesOnly: true })).toBeUndefined();
    expect(importBreach('src/http/app.ts', { target: 'seed/demo.ts', typesOnly: false })).toBeDefined();
    expect(importBreach('src/main.ts', { target: 'seed/demo.ts', typesOnly: false })).toBeUndefined();
    expect(pureBreaches('x.ts', 'const t = new Date();')).toHaveLength(1);
    expect(pureBreaches('x.ts', "import { readFileSync } from 'node:fs';")).toHaveLength(1);
    expect(pureBreaches('x.ts', '// Date.now would tie this to the clock\nconst t = new Date(now);')).toEqual([]);
  });

  it('reads every form of import', () => {
    const source = [
      "import { a } from './a.ts';",
      "import type { B } from '../domain/b.ts';",
      "import { type C, type D } from './c.ts';",
      "import { type E, f } from './e.ts';",
      "import './side.ts';",
      "export { g } from './g.ts';",
      "export type { H } from './h.ts';",
      "const i = await import('../seed/i.ts');",
      'import {\n  j,\n  k,\n} from "./j.ts";',
    ].join('\n');
    expect(importsOf('src/x.ts', source).sort((a, b) => a.target.localeCompare(b.target))).toEqual([
      { target: 'domain/b.ts', typesOnly: true },
      { target: 'seed/i.ts', typesOnly: false },
      { target: 'src/a.ts', typesOnly: false },
      { target: 'src/c.ts', typesOnly: true },
      { target: 'src/e.ts', typesOnly: false },
      { target: 'src/g.ts', typesOnly: false },
      { target: 'src/h.ts', typesOnly: true },
      { target: 'src/j.ts', typesOnly: false },
      { target: 'src/side.ts', typesOnly: false },
    ]);
  });
});

function sourceFiles(folder: string): string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => join(folder, name));
}

function importBreaches(file: string): string[] {
  return importsOf(file, read(file)).flatMap((one) => importBreach(file, one) ?? []);
}

function importBreach(file: string, one: Import): string | undefined {
  const layer = layerOf(file);
  const rules = layer === undefined ? [] : (allowed[layer] ?? []);
  if (layer !== undefined && isWithin(one.target, layer)) return undefined;
  if (rules.some((rule) => permits(rule, one))) return undefined;
  const may = rules.length === 0 ? 'nothing of ours' : rules.join(', ');
  return `${file} imports ${one.target}: ${layer ?? 'no known layer'} may import ${may}`;
}

function permits(rule: string, one: Import): boolean {
  const [path = '', typesOnly] = rule.split(' ');
  return isWithin(one.target, path) && (typesOnly === undefined || one.typesOnly);
}

function isWithin(file: string, path: string): boolean {
  return file === path || file.startsWith(`${path}/`);
}

function layerOf(file: string): string | undefined {
  return Object.keys(allowed)
    .filter((layer) => isWithin(file, layer))
    .sort((a, b) => b.length - a.length)[0];
}

/** Relative imports and re-exports, as paths from the top of the tree; packages are left out. */
function importsOf(file: string, source: string): Import[] {
  const text = withoutComments(source);
  const clauses = [...text.matchAll(/^\s*(?:import|export)\s+([^'";]*?\s+from\s+)?['"](\.[^'"]+)['"]/gm)];
  const dynamic = [...text.matchAll(/\bimport\(\s*['"](\.[^'"]+)['"]/g)];
  return [
    ...clauses.map(([, clause = '', path = '']) => ({ target: target(file, path), typesOnly: onlyTypes(clause) })),
    ...dynamic.map(([, path = '']) => ({ target: target(file, path), typesOnly: false })),
  ];
}

function target(file: string, path: string): string {
  return relative('.', normalize(join(dirname(file), path)));
}

function onlyTypes(clause: string): boolean {
  if (/^type\s/.test(clause)) return true;
  const names = /\{([^}]*)\}/.exec(clause)?.[1];
  return names?.split(',').every((name) => name.trim() === '' || /^\s*type\s/.test(name)) ?? false;
}

function pureBreaches(file: string, source: string): string[] {
  const text = withoutComments(source);
  return forbiddenInPure.filter(([form]) => form.test(text)).map(([, what]) => `${file} uses ${what}`);
}

function withoutComments(source: string): string {
  return source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[^:'"`])\/\/.*$/gm, '$1');
}

function read(file: string): string {
  return readFileSync(join(root, file), 'utf8');
}
