/** What keeps a record that is mended by form from changing where nobody changed it. */
import type { FinishedJob } from '../domain/record.ts';
import { readForm } from './form-input.ts';
import { closedUp, entriesOf, type FormEntry, placesOf } from './job-entries.ts';
import type { Units } from './measures.ts';

/** Checks of a new day, beside those that are there. */
const blankChecks = 2;

/** How many drying checks a form has room for: those sent, and some to fill in. */
export function checksIn(entries: readonly FormEntry[]): number {
  return checkPlaces(entries).length + blankChecks;
}

/**
 * The sent entries without people and checks that nobody filled in: those after them move up. A check that was there
 * and whose hours were emptied is taken out.
 */
export function withoutEmptyLines(entries: readonly FormEntry[], job: FinishedJob): FormEntry[] {
  const known = job.drying?.checks.length ?? 0;
  const text = (name: string) => entries.find(([full]) => full.split(':')[0] === name)?.[1].trim() ?? '';
  const emptyCheck = (i: number) =>
    text(`drying.checks.${i}.hours`) === '' && (i < known || text(`drying.checks.${i}.dry`) === '');
  const emptyPerson = (i: number) => text(`labour.${i}.technician`) === '' && text(`labour.${i}.minutes`) === '';
  return closedUp(closedUp(entries, 'drying.checks', emptyCheck), 'labour', emptyPerson);
}

/**
 * The input with what the form could not carry: numbers that it shows in the shop's units to ten digits, the order of
 * ticked boxes, a "no" that looks like an empty box, line ends and blanks at the ends of a note.
 */
export function asStoredWhereUntouched(
  input: Readonly<Record<string, unknown>>,
  job: FinishedJob,
  units: Units,
  timeZone: string,
): Record<string, unknown> {
  const shown = readForm(entriesOf(job, units, timeZone), units).input;
  const stored = new Map<string, unknown>();
  pair({ place: '', field: '' }, shown, job, stored);
  const { note, ...rest } = restored({ place: '', field: '' }, input, stored) as Record<string, unknown>; // an object in, an object out
  const kept = plainNote(note) === plainNote(job.note) ? job.note : plainNote(note);
  const unticked = rest.finalVacuum === undefined && job.finalVacuum !== undefined;
  return { ...rest, ...(kept && { note: kept }), ...(unticked && { finalVacuum: false }) };
}

function checkPlaces(entries: readonly FormEntry[]): number[] {
  return placesOf(entries, 'drying.checks').filter((i) =>
    entries.some(([name, text]) => name.startsWith(`drying.checks.${i}.`) && text !== ''),
  );
}

/** Where a value stands, and of what field it is whatever its line. */
interface Where {
  readonly place: string;
  readonly field: string;
}

/** What a value of the form stands for, by itself and where it stands, and by its field where lines have moved since. */
function pair(where: Where, shown: unknown, job: unknown, stored: Map<string, unknown>): void {
  if (isLeaf(shown)) for (const key of keysOf(where, shown)) stored.set(key, job);
  else if (isBranch(shown) && isBranch(job))
    for (const [key, one] of Object.entries(shown)) pair(below(where, key), one, Reflect.get(job, key), stored);
}

function restored(where: Where, value: unknown, stored: ReadonlyMap<string, unknown>): unknown {
  if (isLeaf(value)) {
    const [here, anywhere] = keysOf(where, value);
    return stored.get(here) ?? stored.get(anywhere) ?? value;
  }
  if (Array.isArray(value))
    return Array.from(value, (one: unknown, i) => restored(below(where, String(i)), one, stored));
  if (!isBranch(value)) return value;
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, restored(below(where, key), one, stored)]));
}

function below({ place, field }: Where, key: string): Where {
  return { place: `${place}/${key}`, field: /^\d+$/.test(key) ? field : `${field}.${key}` };
}

/** Boxes that are ticked have no order of their own. */
function keysOf({ place, field }: Where, leaf: unknown): [string, string] {
  const text = Array.isArray(leaf) ? [...leaf].sort().join() : String(leaf);
  return [`${place} ${text}`, `${field} ${text}`];
}

function isLeaf(value: unknown): boolean {
  return !isBranch(value) || (Array.isArray(value) && value.every((one) => typeof one === 'string'));
}

/** Browsers end a line by CR LF. */
function plainNote(note: unknown): string {
  return typeof note === 'string' ? note.replaceAll('\r\n', '\n').trim() : '';
}

function isBranch(value: unknown): value is object {
  return typeof value === 'object' && value !== null;
}
