import { cellOf, readCell } from './csv-cells.ts';
import { type Column, columnAt, columns, readColumns } from './csv-columns.ts';
import { type Fault, shown } from './faults.ts';
import type { FinishedJob } from './record.ts';
import { ruleIn } from './rule-units.ts';
import { nearest } from './suggestion.ts';

/** One row of a file, by the header's columns, with the line it begins on. */
export interface CsvRow {
  readonly line: number;
  readonly cells: readonly string[];
  /** What was wrong with the row already before its cells are looked at. */
  readonly faults?: readonly CsvFault[];
}

/** A fault in a CSV file names its column, and its line where it is that of one row. */
export interface CsvFault extends Fault {
  readonly line?: number;
}

export const headerCells: readonly string[] = columns.map(({ name }) => name);

/** The rows of one record, one a section, the job's fields on each. */
export function rowsOf(record: FinishedJob): string[][] {
  return record.sections.map((section) =>
    columns.map(({ of, path, kind }) => cellOf(at(of === 'job' ? record : section, path), kind)),
  );
}

/** The columns that a header names, or what is wrong with it. */
export function readHeader(cells: readonly string[]): { columns: Column[] } | { faults: Fault[] } {
  const names = cells.map((cell) => cell.trim().toLowerCase());
  const faults = names.flatMap((name, i) => headerFault(name, names.indexOf(name) !== i));
  for (const name of neededColumns)
    if (!names.includes(name)) faults.push(columnFault(name, undefined, `${name}: a file needs this column`));
  if (faults.length > 0) return { faults };
  return { columns: names.flatMap((name) => readColumns.get(name) ?? []) };
}

/** One record as it would have come in JSON, from all rows of its ref, with the faults that only the file can have. */
export function inputOf(
  rows: readonly CsvRow[],
  header: readonly Column[],
): { readonly input: unknown; readonly faults: readonly CsvFault[] } {
  const before = rows.flatMap((row) => row.faults ?? []);
  const faults = [...before, ...widthFaults(rows, header), ...disagreements(rows, header)];
  const first = rows[0];
  if (!first || faults.length > 0) return { input: undefined, faults };
  const input: Record<string, unknown> = {};
  place(input, first, header, 'job', faults);
  input.sections = rows.map((row) => {
    const section: Record<string, unknown> = {};
    place(section, row, header, 'section', faults);
    return section;
  });
  return { input, faults };
}

/**
 * A record's fault as one of its file: the column for the field, the section's row for its index. Of a column in US
 * units the cell as it stands there, and the rule in its unit.
 */
export function asCsvFault(fault: Fault, rows: readonly CsvRow[], header: readonly Column[]): CsvFault {
  const place = columnAt(fault.pointer);
  if (!place) return fault;
  const row = rows[place.section ?? 0];
  const line = place.section === undefined ? {} : { line: row?.line };
  const inUs = header.findIndex((column) => column.us && isSameField(column, place.column));
  const cell = row?.cells[inUs] ?? '';
  const { name, us } = (cell === '' ? undefined : header[inUs]) ?? place.column;
  const message = inColumnsWords(fault, name);
  const rule = us && ruleOf({ ...fault, field: name, message });
  if (!us || rule === undefined) return { ...fault, field: name, message, ...line };
  return {
    ...fault,
    field: name,
    value: cell,
    message: `${name} is ${shown(cell)}: ${ruleIn(rule, us.fromSi)}`,
    ...line,
  };
}

/** What is allowed, of a fault that says it behind the field and what came. */
export function ruleOf({ field, value, message }: Fault): string | undefined {
  const before = `${field} is ${shown(value)}: `;
  return message.startsWith(before) ? message.slice(before.length) : undefined;
}

function isSameField(one: Column, other: Column): boolean {
  return one.of === other.of && one.path.join() === other.path.join();
}

/** The form of the two columns that hold pairs, for an entry that is not in it. */
const pairForms: ReadonlyMap<string, string> = new Map([
  ['labour', 'technician:minutes, several joined with ;'],
  ['checks', 'hours:wet or hours:dry, several joined with ;'],
]);

function inColumnsWords({ pointer, field, value, message }: Fault, name: string): string {
  const form = pairForms.get(name);
  if (form && typeof value === 'string' && /\/\d+(\/(minutes|hours|dry))?$/.test(pointer))
    return `${name} holds ${shown(value)}: ${form}`;
  return message.startsWith(field) ? `${name}${message.slice(field.length)}` : message;
}

function headerFault(name: string, repeated: boolean): Fault[] {
  if (repeated) return [columnFault(name, name, `the column ${shown(name)} stands there twice`)];
  if (readColumns.has(name)) return [];
  const meant = nearest(name, readColumns.keys());
  const way = meant === undefined ? '' : `; did you mean ${meant}?`;
  return [columnFault(name, name, `${shown(name)}: not a column here${way}`)];
}

const neededColumns = ['ref', 'finished_at', 'body_style', 'labour', 'area', 'fabric', 'soil', 'method', 'wet_passes'];

function widthFaults(rows: readonly CsvRow[], header: readonly Column[]): CsvFault[] {
  return rows.flatMap(({ line, cells }) => {
    if (cells.length === header.length) return [];
    const message = `line ${line} has ${cells.length} cells, the header ${header.length}`;
    return [{ pointer: '', field: '', message, line }];
  });
}

/** Where the rows of one ref say different things of the job. */
function disagreements(rows: readonly CsvRow[], header: readonly Column[]): CsvFault[] {
  const [first, ...others] = rows;
  if (!first) return [];
  return header.flatMap((column, i) => {
    if (column.of !== 'job' || column.name === 'ref') return [];
    const other = others.find(({ cells }) => cells[i] !== first.cells[i]);
    if (!other) return [];
    const [here, there] = [shown(first.cells[i] ?? ''), shown(other.cells[i] ?? '')];
    const message = `${column.name} is ${here} on line ${first.line} and ${there} on line ${other.line}: a job's fields are the same on each of its rows`;
    return [{ ...columnFault(column.name, other.cells[i], message), line: other.line }];
  });
}

/** Puts a row's cells of one level into `target`; two columns for one field are a fault. */
function place(
  target: Record<string, unknown>,
  row: CsvRow,
  header: readonly Column[],
  level: Column['of'],
  faults: CsvFault[],
): void {
  header.forEach((column, i) => {
    if (column.of !== level) return;
    const value = readCell(row.cells[i] ?? '', column.kind);
    if (value === undefined) return;
    const si = column.us && typeof value === 'number' ? column.us.toSi(value) : value;
    if (!put(target, column.path, si)) faults.push(twice(column, row.line));
  });
}

function put(target: Record<string, unknown>, [outer, inner]: Column['path'], value: unknown): boolean {
  if (inner !== undefined) {
    const nested = target[outer] ?? {};
    target[outer] = nested;
    return put(nested as Record<string, unknown>, [inner], value); // made by the line above, or by an earlier column
  }
  if (target[outer] !== undefined) return false;
  target[outer] = value;
  return true;
}

function twice(column: Column, line: number): CsvFault {
  const si = columns.find((one) => isSameField(one, column));
  const message = `${column.name} and another column both give ${si?.name ?? column.name}: fill one of them`;
  return { ...columnFault(column.name, undefined, message), line };
}

function columnFault(field: string, value: unknown, message: string): Fault {
  return { pointer: '', field, ...(value === undefined ? {} : { value }), message };
}

function at(object: object, [outer, inner]: Column['path']): unknown {
  const value: unknown = Reflect.get(object, outer);
  if (inner === undefined) return value;
  return typeof value === 'object' && value !== null ? Reflect.get(value, inner) : undefined;
}
