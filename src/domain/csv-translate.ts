import { amountText } from './csv-amounts.ts';
import { columns } from './csv-columns.ts';
import { type CsvMapping, columnOf, constantOf, leftOut } from './csv-mapping.ts';
import type { CsvRow } from './csv-rows.ts';
import { type Target, targetNamed } from './csv-targets.ts';
import { instantText, isInstant, readDay, readTime } from './csv-when.ts';
import { partsOf } from './csv-words.ts';

/** Turns the rows of a foreign file into rows of ours. */
export interface Translator {
  readonly header: readonly string[];
  row(row: CsvRow): CsvRow;
}

/**
 * Cells that need no change pass as they are, so that a file of our own comes through untouched; what cannot be read
 * passes too, for the record's own rules to name.
 */
export function translator(mapping: CsvMapping, columnCount: number, timeZone: string): Translator {
  const made = columns.flatMap(({ name }) => {
    const cell = cellReader(mapping, name, timeZone);
    return cell ? [{ name, cell }] : [];
  });
  return {
    header: made.map(({ name }) => name),
    row: ({ line, cells }) => ({
      line,
      cells: made.map(({ cell }) => cell(cells)),
      ...(cells.length === columnCount ? {} : { faults: [wrongWidth(line, cells.length, columnCount)] }),
    }),
  };
}

type CellReader = (cells: readonly string[]) => string;

/** The reader of one of our columns; undefined where nothing is chosen for it. */
function cellReader(mapping: CsvMapping, name: string, timeZone: string): CellReader | undefined {
  if (name === 'finished_at') return instantReader(mapping, timeZone);
  if (name === 'labour') return plainReader(mapping, name) ?? labourReader(mapping);
  if (name === 'checks') return plainReader(mapping, name) ?? driedReader(mapping);
  return plainReader(mapping, name);
}

function plainReader(mapping: CsvMapping, name: string): CellReader | undefined {
  const target = targetNamed(name);
  const constant = constantOf(mapping, name);
  if (constant !== undefined) return () => constant;
  const at = columnOf(mapping, name);
  if (at === undefined || !target) return undefined;
  const read = remembered(contentReader(mapping, target));
  return (cells) => read(cells[at] ?? '');
}

function contentReader(mapping: CsvMapping, target: Target): (cell: string) => string {
  if (target.kind === 'number') {
    const form = { measured: target.measured, unit: mapping.units[target.name], decimal: mapping.decimal };
    return (cell) => amountText(cell, form);
  }
  const pairs = mapping.words[target.name] ?? [];
  const words = new Map(pairs.map(([word, meaning]) => [word, meaning === leftOut ? '' : meaning]));
  const meant = (word: string) => words.get(word) ?? word;
  if (target.many)
    return (cell) => [...new Set(partsOf(target, cell).map(meant))].filter((word) => word !== '').join(';');
  return (cell) => (words.has(cell.trim()) ? meant(cell.trim()) : cell);
}

/** Columns say the same again and again, and reading a word or a clock costs more than looking it up. */
function remembered<T>(read: (cell: string) => T): (cell: string) => T {
  const known = new Map<string, T>();
  return (cell) => {
    const before = known.get(cell);
    if (before !== undefined) return before;
    const made = read(cell);
    if (known.size < mostRemembered) known.set(cell, made);
    return made;
  };
}

const mostRemembered = 2000;

/** A day with its time in the same cell, in the next, or at the end of the working day; on the shop's clock. */
function instantReader(mapping: CsvMapping, timeZone: string): CellReader | undefined {
  const at = columnOf(mapping, 'finished_at');
  const timeAt = columnOf(mapping, 'finished_time');
  if (at === undefined) return undefined;
  const clock = remembered((local) => instantText(local, timeZone));
  return (cells) => {
    const cell = cells[at] ?? '';
    const text = cell.trim();
    const read = isInstant(text) ? undefined : readDay(text, mapping.dayOrder);
    if (!read) return cell;
    const timeCell = timeAt === undefined ? '' : (cells[timeAt] ?? '').trim();
    const time = read.time ?? readTime(timeCell);
    if (time === undefined && timeCell !== '') return `${text} ${timeCell}`;
    return clock(`${read.day}T${time ?? mapping.endOfDay}`) ?? cell;
  };
}

/** Several people in one cell have shared the minutes alike: the sheet does not tell more. */
function labourReader(mapping: CsvMapping): CellReader | undefined {
  const [who, minutes] = [plainReader(mapping, 'technician'), plainReader(mapping, 'minutes')];
  if (!who || !minutes) return undefined;
  return (cells) => {
    const names = who(cells)
      .split(';')
      .filter((name) => name !== '');
    const text = minutes(cells).trim();
    const share =
      names.length > 1 && text !== '' && Number.isFinite(Number(text)) ? String(Number(text) / names.length) : text;
    return names.map((name) => `${name}:${share}`).join(';');
  };
}

/** One check, dry: when it was still wet the sheet does not tell. */
function driedReader(mapping: CsvMapping): CellReader | undefined {
  const hours = plainReader(mapping, 'dried_after');
  if (!hours) return undefined;
  return (cells) => {
    const text = hours(cells).trim();
    return text === '' ? '' : `${text}:dry`;
  };
}

function wrongWidth(line: number, cells: number, header: number) {
  const message = `line ${line} has ${cells} cells, the header ${header}: a cell that holds a separator or a line break stands in quotes`;
  return { pointer: '', field: '', message, line };
}
