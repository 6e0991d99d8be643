import type { CellKind } from './csv-columns.ts';

/**
 * A cell that a spreadsheet would run as a formula goes out behind an apostrophe, and comes in without it. A text that
 * itself begins with apostrophes before such a sign gets one more, so that what goes out comes back unchanged.
 */
export function guarded(text: string): string {
  return /^'*[=+\-@\t\r\n]/.test(text) ? `'${text}` : text;
}

/** The text that `guarded` was given. */
export function unguarded(cell: string): string {
  return /^'+[=+\-@\t\r\n]/.test(cell) ? cell.slice(1) : cell;
}

/** The cell of a value; an absent one is empty. A number is no formula and needs no guard. */
export function cellOf(value: unknown, kind: CellKind): string {
  if (value === undefined || value === null) return '';
  if (kind === 'number' || kind === 'boolean') return String(value);
  if (Array.isArray(value)) return value.map((entry) => listEntry(entry, kind)).join(';');
  return guarded(String(value));
}

/**
 * The value of a cell, undefined where it is empty. What cannot be read stays text, for the record's own rules to name:
 * a word where a number should be is their fault to tell.
 */
export function readCell(cell: string, kind: CellKind): unknown {
  const text = unguarded(cell);
  if (kind === 'text') return text === '' ? undefined : text;
  const word = text.trim();
  if (word === '') return undefined;
  if (kind === 'number') return numberOf(word);
  if (kind === 'boolean') return booleans.get(word.toLowerCase()) ?? word;
  if (kind === 'word') return word;
  return listOf(word, kind);
}

const booleans: ReadonlyMap<string, boolean> = new Map([
  ['true', true],
  ['yes', true],
  ['false', false],
  ['no', false],
]);

function listEntry(entry: unknown, kind: CellKind): string {
  if (kind === 'words' || typeof entry !== 'object' || entry === null) return String(entry);
  const [first, second] = Object.values(entry); // {technician, minutes} or {hours, dry}, in the schema's order
  return `${first}:${kind === 'checks' ? (second === true ? 'dry' : 'wet') : second}`;
}

function listOf(text: string, kind: CellKind): unknown[] {
  const entries = text
    .split(';')
    .map((entry) => entry.trim())
    .filter((entry) => entry !== '');
  if (kind === 'words') return entries;
  return entries.map((entry) => (kind === 'labour' ? shareOf(entry) : checkOf(entry)));
}

/** An entry that is no pair stays text, so that the fault can show it. */
function shareOf(entry: string): unknown {
  const pair = pairOf(entry);
  return pair ? { technician: pair[0], minutes: numberOf(pair[1]) } : entry;
}

function checkOf(entry: string): unknown {
  const pair = pairOf(entry);
  return pair
    ? { hours: numberOf(pair[0]), dry: pair[1] === 'dry' ? true : pair[1] === 'wet' ? false : pair[1] }
    : entry;
}

function pairOf(entry: string): [string, string] | undefined {
  const parts = entry.split(':').map((part) => part.trim());
  const [first, second] = parts;
  return parts.length === 2 && first !== undefined && second !== undefined ? [first, second] : undefined;
}

function numberOf(text: string): number | string {
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text) ? Number(text) : text;
}
