import { z } from 'zod';
import { neededTargets, targetNamed } from './csv-targets.ts';

/** What a form says, as far as PostgreSQL's text can hold it. */
const told = z.string().regex(/^[^\0]*$/);

/** How the file's columns become ours. */
export const csvMapping = z.strictObject({
  /** By target: `c3` is the file's fourth column, `=moderate` is the same for all. */
  from: z.record(z.string(), z.string().regex(/^(c\d{1,3}|=[^\0]{1,64})$/)).default({}),
  /** By target: the unit of its numbers, where not ours. */
  units: z.record(z.string(), told.max(20)).default({}),
  /** By target: a word of the file and what it means here, or `leftOut`; nothing where nobody has said. */
  words: z.record(z.string(), z.array(z.tuple([z.string(), told.max(64)]))).default({}),
  dayOrder: z.enum(['day-month', 'month-day']).default('day-month'),
  decimal: z.enum(['point', 'comma']).default('point'),
  /** When a job ended of which only the day is told. */
  endOfDay: z
    .string()
    .regex(/^([01]\d|2[0-3]):[0-5]\d$/)
    .describe('a time of day, such as 17:00')
    .default('17:00'),
  /** Technicians and machines that the lists lack are put on them. */
  createMissing: z.boolean().default(false),
});

/** Said of a word that is to be read as if nothing stood there; no word and no key of ours. */
export const leftOut = '-';

/** The words that somebody has to be asked about before the file can be read. */
export function wordsToAsk({
  words,
}: CsvMapping): { readonly target: string; readonly word: string; readonly at: number }[] {
  return Object.entries(words).flatMap(([target, pairs]) =>
    pairs.flatMap(([word, meant], at) => (meant === '' ? [{ target, word, at }] : [])),
  );
}

export type CsvMapping = z.output<typeof csvMapping>;

/** The index of the file's column that a target is read from. */
export function columnOf(mapping: CsvMapping, target: string): number | undefined {
  const source = mapping.from[target];
  return source?.startsWith('c') ? Number(source.slice(1)) : undefined;
}

/** What stands for a target in all jobs alike. */
export function constantOf(mapping: CsvMapping, target: string): string | undefined {
  const source = mapping.from[target];
  return source?.startsWith('=') ? source.slice(1) : undefined;
}

/** Something wrong with the choice for one target. */
interface ChoiceFault {
  readonly target: string;
  readonly rule: string;
}

/** What is wrong with the choice of columns. */
export function mappingFaults(mapping: CsvMapping, columnCount: number): ChoiceFault[] {
  const chosen = (name: string) => mapping.from[name] !== undefined;
  const faults = neededTargets.flatMap(([name, ...together]): ChoiceFault[] => {
    if (chosen(name) && together.some(chosen))
      return [{ target: name, rule: 'told twice, here and in parts: choose one' }];
    const missing = together.length === 0 ? [name] : together.filter((one) => !chosen(one));
    if (chosen(name)) return [];
    return missing.map((target) => ({ target, rule: 'a job needs it: choose its column, or one answer for all' }));
  });
  if (chosen('checks') && chosen('dried_after'))
    faults.push({ target: 'dried_after', rule: 'told twice, here and in the drying checks: choose one' });
  return [...faults, ...Object.keys(mapping.from).flatMap((name) => sourceFaults(mapping, name, columnCount))];
}

function sourceFaults(mapping: CsvMapping, name: string, columnCount: number): ChoiceFault[] {
  const column = columnOf(mapping, name);
  if (!targetNamed(name)) return [{ target: name, rule: 'not a field here' }];
  return column !== undefined && column >= columnCount
    ? [{ target: name, rule: `the file has ${columnCount} columns` }]
    : [];
}
