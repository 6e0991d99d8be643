import { tidy, unitOf } from '../domain/csv-amounts.ts';
import { type CsvMapping, columnOf } from '../domain/csv-mapping.ts';
import type { CsvProfile } from '../domain/csv-profile.ts';
import { type CsvRow, ruleOf } from '../domain/csv-rows.ts';
import { targetNamed } from '../domain/csv-targets.ts';
import { type Translator, translator } from '../domain/csv-translate.ts';
import type { Fault } from '../domain/faults.ts';
import { ruleIn } from '../domain/rule-units.ts';
import { csvRows } from './body-csv.ts';
import { recordsOfRows } from './body-csv-records.ts';
import { throughDisk } from './body-disk.ts';
import type { Sent } from './records-upload.ts';

/** How a kept file is read. */
export interface ImportReading {
  readonly profile: CsvProfile;
  readonly mapping: CsvMapping;
  readonly timeZone: string;
}

/** The records of a foreign file, by the same reader and rules as those of our own. */
export async function* importRecords(
  chunks: AsyncIterable<Buffer>,
  { profile, mapping, timeZone }: ImportReading,
): AsyncGenerator<Sent[]> {
  const translate = translator(mapping, profile.header.length, timeZone);
  const jobs = throughDisk(chunks, (again) => recordsOfRows(() => translated(csvRows(again()), translate)));
  for await (const sent of jobs) yield sent.map((one) => inSheetsWords(one, mapping));
}

/** The first rows as they are read, the header first. */
export async function firstRows(
  chunks: AsyncIterable<Buffer>,
  { profile, mapping, timeZone }: ImportReading,
  most: number,
): Promise<(readonly string[])[]> {
  const rows: (readonly string[])[] = [];
  for await (const { cells } of translated(csvRows(chunks), translator(mapping, profile.header.length, timeZone))) {
    rows.push(cells);
    if (rows.length > most) break;
  }
  return rows;
}

async function* translated(rows: AsyncIterable<CsvRow>, { header, row }: Translator): AsyncGenerator<CsvRow> {
  let isHeader = true;
  for await (const one of rows) {
    yield isHeader ? { line: one.line, cells: header } : row(one);
    isHeader = false;
  }
}

/** What the rules say to programs, said to whoever has the sheet in hand. */
function inSheetsWords(sent: Sent, mapping: CsvMapping): Sent {
  const isForeignDay = columnOf(mapping, 'finished_at') !== undefined;
  const form = mapping.dayOrder === 'day-month' ? '31/12/2025 or 31 Dec 2025' : '12/31/2025 or Dec 31, 2025';
  const worded = (fault: Fault): Fault => {
    const own = sent.inItsWords?.(fault) ?? fault;
    if (isForeignDay && fault.pointer === '/finishedAt' && own.message.includes('RFC 3339'))
      return {
        ...own,
        message: own.message.replace(/: [^:]*RFC 3339.*$/s, `: a day such as ${form}, with or without a time`),
      };
    return inSheetsUnit({ ...own, message: own.message.replace(/; PUT \S+ adds it$/, '') }, mapping);
  };
  return { ...sent, inItsWords: worded };
}

/** What stands in the sheet and what is allowed there, in the unit that the sheet is in. */
function inSheetsUnit(fault: Fault, { units }: CsvMapping): Fault {
  const { measured } = targetNamed(fault.field) ?? {};
  const unit = measured && unitOf(measured, units[fault.field]);
  const rule = ruleOf(fault);
  if (!unit?.fromOurs || rule === undefined || typeof fault.value !== 'number') return fault;
  const value = `${tidy(unit.fromOurs(fault.value))} ${unit.name}`;
  return { ...fault, value, message: `${fault.field} is ${value}: ${ruleIn(rule, unit.fromOurs)}` };
}
