import { type Decimal, readAmount, unitsOf } from './csv-amounts.ts';
import { type CellKind, readColumns } from './csv-columns.ts';
import { type CsvMapping, columnOf, csvMapping } from './csv-mapping.ts';
import type { ColumnProfile, CsvProfile } from './csv-profile.ts';
import { headingPhrases, unitPhrases } from './csv-synonyms.ts';
import { type Target, targets } from './csv-targets.ts';
import { type DayOrder, readTime } from './csv-when.ts';
import { guessWord, type Lists, wordsToRead } from './csv-words.ts';

interface GuessContext {
  /** The order of day and month where the file does not tell. */
  readonly dayOrder: DayOrder;
}

/** A first reading of a foreign file: which of its columns is what, in which unit. */
export function guessMapping(profile: CsvProfile, { dayOrder }: GuessContext): CsvMapping {
  const ours = profile.header.every((name) => readColumns.has(plainName(name)));
  const decimal = !ours && profile.columns.some(({ commas }) => commas > 0) ? 'comma' : 'point';
  const from: Record<string, string> = {};
  const units: Record<string, string> = {};
  for (const { target, column } of bestPairs(profile)) {
    from[target.name] = `c${column}`;
    const unit = guessUnit(target, profile, column, decimal);
    if (unit !== undefined) units[target.name] = unit;
  }
  const day = profile.columns[Number(from.finished_at?.slice(1))];
  const order = day && day.dayFirst !== day.monthFirst ? likelier(day) : dayOrder;
  return csvMapping.parse({ from, units, decimal, dayOrder: order });
}

/** The unit that a target's column is in, where not ours: as its heading says, and labour else by its figures. */
export function guessUnit(target: Target, profile: CsvProfile, column: number, decimal: Decimal): string | undefined {
  const named = unitOf(target, profile.header[column] ?? '');
  if (named !== undefined || target.name !== 'minutes') return named;
  return areHours(profile.columns[column], decimal) ? 'hours' : undefined;
}

/** Nobody notes halves of a minute, nor does a job take less than a quarter of an hour. */
function areHours(column: ColumnProfile | undefined, decimal: Decimal): boolean {
  const seen = (column?.words ?? []).flatMap((word, i) => {
    const amount = readAmount(word, decimal);
    return amount === undefined ? [] : [{ amount, rows: column?.counts?.[i] ?? 1 }];
  });
  const rows = (some: typeof seen) => some.reduce((sum, one) => sum + one.rows, 0);
  const inParts = seen.every(({ amount }) => amount <= 24) && seen.some(({ amount }) => !Number.isInteger(amount));
  const small = seen.filter(({ amount }) => amount < 15);
  return inParts || (small.length > 0 && rows(small) >= 0.9 * rows(seen));
}

/** The words of the file that are to be read, each with what it most likely means. */
export function guessWords(profile: CsvProfile, mapping: CsvMapping, lists: Lists): CsvMapping['words'] {
  const words: Record<string, [string, string][]> = {};
  for (const target of targets) {
    const column = profile.columns[columnOf(mapping, target.name) ?? -1];
    const foreign = column ? wordsToRead(target, column, lists) : [];
    const before = new Map(mapping.words[target.name] ?? []);
    if (foreign.length > 0)
      words[target.name] = foreign.map((word) => [word, before.get(word) ?? guessWord(target, word, lists) ?? '']);
  }
  return words;
}

interface Pair {
  readonly target: Target;
  readonly column: number;
  readonly score: number;
}

/** Each column and each target once, the surest first. */
function bestPairs(profile: CsvProfile): Pair[] {
  const pairs = profile.header.flatMap((heading, column) =>
    targets.map((target) => ({ target, column, score: scoreOf(target, heading, profile.columns[column]) })),
  );
  const [taken, given] = [new Set<number>(), new Set<string>()];
  return pairs
    .filter(({ score }) => score >= leastScore)
    .sort((a, b) => b.score - a.score || a.column - b.column)
    .filter(({ target, column }) => {
      if (taken.has(column) || given.has(target.name) || otherWay(target.name).some((name) => given.has(name)))
        return false;
      taken.add(column);
      given.add(target.name);
      return true;
    });
}

const leastScore = 6;
const exactScore = 100;

/** What is told already once these are. */
function otherWay(name: string): readonly string[] {
  if (name === 'labour') return ['technician', 'minutes'];
  if (name === 'technician' || name === 'minutes') return ['labour'];
  if (name === 'checks') return ['dried_after'];
  return name === 'dried_after' ? ['checks'] : [];
}

function scoreOf(target: Target, heading: string, column: ColumnProfile | undefined): number {
  const exact = readColumns.get(plainName(heading));
  if (exact && !isOtherForm(exact.kind, column))
    return siNameOf(exact.path.join(), exact.of) === target.name ? exactScore : 0;
  const named = headingScore(target, heading);
  const byHeading = named > 0 && unitOf(target, heading) !== undefined ? named + 1 : named;
  const byContent = column && column.filled > 0 ? contentScore(target, column) : 0;
  return byHeading === 0 && byContent < alone ? 0 : byHeading + byContent;
}

/** Headed as ours and not in our form of pairs: `labour` with bare minutes below. */
function isOtherForm(kind: CellKind, column: ColumnProfile | undefined): boolean {
  if (!column || column.filled === 0 || (kind !== 'labour' && kind !== 'checks')) return false;
  return column.words.length > 0 && !column.words.some((word) => word.includes(':'));
}

/** Contents alone convince where all of them are words of the list. */
const alone = 7;

function headingScore({ name }: Target, heading: string): number {
  const words = wordsOf(heading);
  const scores = (headingPhrases[name] ?? []).map((phrase) => {
    const wanted = wordsOf(phrase);
    if (!wanted.every((word) => words.includes(word))) return 0;
    return 5 + 2 * wanted.length + (wanted.length === words.filter((word) => !isUnit(word)).length ? 3 : 0);
  });
  return Math.max(0, ...scores);
}

/** From −8, the contents rule it out, to 8, they bear it out. */
function contentScore(target: Target, column: ColumnProfile): number {
  const share = (part: number) => part / column.filled;
  if (target.kind === 'number') return share(column.numbers) > 0.6 ? 2 : -8;
  if (target.kind === 'day') return share(column.days) > 0.6 ? 6 : -8;
  if (target.kind === 'time') return timesIn(column) > 0.6 * column.words.length ? 2 : -8;
  if (target.kind === 'words') return wordScore(target, column);
  if (target.kind === 'technician' || target.kind === 'machine') return share(column.numbers) > 0.6 ? -8 : 0;
  return 0;
}

function timesIn({ words }: ColumnProfile): number {
  return words.filter((word) => readTime(word) !== undefined).length;
}

function wordScore(target: Target, column: ColumnProfile): number {
  if (column.more) return target.many ? 0 : -8;
  const known = column.words.filter((word) => guessWord(target, word, { technicians: [], machines: [] }) !== undefined);
  const share = known.length / column.words.length;
  const letters = column.words.some((word) => /[A-Za-z]{3}/.test(word));
  return share === 0 ? -4 : letters || share < 1 ? 8 * share : 3;
}

function likelier({ dayFirst, monthFirst }: ColumnProfile): DayOrder {
  return dayFirst > monthFirst ? 'day-month' : 'month-day';
}

/** The unit that the heading names, of those that this target may have. */
function unitOf({ measured, name }: Target, heading: string): string | undefined {
  if (!measured) return undefined;
  const us = /_(sqft|gal|floz|f)$/.exec(plainName(heading))?.[1];
  const words = us ? [us] : wordsOf(heading);
  const named = unitsOf[measured].find((unit) =>
    (unitPhrases[unit.name] ?? []).some((phrase) => wordsOf(phrase).every((word) => words.includes(word))),
  );
  return named && (named.name !== unitsOf[measured][0].name || name === 'minutes') ? named.name : undefined;
}

const unitWords = new Set(Object.values(unitPhrases).flat());
const isUnit = (word: string) => unitWords.has(word);

function siNameOf(path: string, of: Target['of']): string | undefined {
  return targets.find(({ name, of: level }) => {
    const column = readColumns.get(name);
    return column && level === of && column.path.join() === path;
  })?.name;
}

function plainName(heading: string): string {
  return heading.trim().toLowerCase();
}

/** The words of a heading without case, accents, signs and the s of a plural. */
function wordsOf(text: string): string[] {
  return text
    .normalize('NFKD')
    .replace(/\p{Mark}/gu, '')
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replace(/#/g, ' number ')
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== '')
    .map((word) => (word.length > 3 && !word.endsWith('ss') ? word.replace(/s$/, '') : word));
}
