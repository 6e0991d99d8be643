import type { Column } from '../domain/csv-columns.ts';
import { asCsvFault, type CsvFault, type CsvRow, inputOf, readHeader } from '../domain/csv-rows.ts';
import { fault, faultSaying } from '../domain/faults.ts';
import { csvRows } from './body-csv.ts';
import { throughDisk } from './body-disk.ts';
import { UploadCut } from './body-limits.ts';
import type { Sent } from './records-upload.ts';
import { statusOf } from './status.ts';

/**
 * The records of a CSV body. A job is all rows of its ref, so before the first job is looked at the whole file has to
 * be known: one whose rows do not stand together would be stored by halves. The file is put down on disk and read
 * twice; what is held here is its refs.
 */
export function csvRecords(chunks: AsyncIterable<Buffer>): AsyncGenerator<Sent[]> {
  return throughDisk(chunks, async function* (again) {
    const damaged = !(await isUtf8(again()));
    yield* recordsOfRows(() => csvRows(again()), damaged);
  });
}

/** More sections than any job may have: the rest of its rows says nothing new. */
const mostRowsKept = 100;

/** The records of rows that can be read more than once, the header first. */
export async function* recordsOfRows(rows: () => AsyncIterable<CsvRow>, damaged = false): AsyncGenerator<Sent[]> {
  const scattered = await scatteredRefs(rows());
  let header: Header | undefined;
  let job: CsvRow[] = [];
  for await (const row of rows()) {
    if (!header) header = headerOf(row, damaged, scattered);
    else if (job[0] && refOf(header, job[0]) !== refOf(header, row)) {
      yield sentOf(job, header);
      job = [row];
    } else if (job.length < mostRowsKept) job.push(row);
  }
  if (!header)
    throw new UploadCut(statusOf.malformed, 'The body is empty: a row with the names of the columns is expected');
  if (job.length > 0) yield sentOf(job, header);
}

/** What is known of the file before its jobs are looked at. */
interface Header {
  readonly columns: readonly Column[];
  readonly refAt: number;
  /** Not all of it is UTF-8: rows that hold a sign for what could not be read are not believed. */
  readonly damaged: boolean;
  readonly scattered: ScatteredRefs;
}

/** The refs whose rows do not stand together, each with the first lines on which it begins anew. */
type ScatteredRefs = ReadonlyMap<string, readonly number[]>;
const mostLinesNamed = 5;

export async function isUtf8(chunks: AsyncIterable<Buffer>): Promise<boolean> {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  try {
    for await (const chunk of chunks) decoder.decode(chunk, { stream: true });
    decoder.decode();
    return true;
  } catch (error) {
    if (error instanceof TypeError) return false;
    throw error;
  }
}

/** A header that cannot be read leaves nothing to say of the rows: it refuses the file. */
function headerOf({ cells }: CsvRow, damaged: boolean, scattered: Header['scattered']): Header {
  const read = readHeader(cells);
  if ('faults' in read) throw new UploadCut(statusOf.invalid, 'The header cannot be read', read.faults);
  return { columns: read.columns, refAt: read.columns.findIndex(({ name }) => name === 'ref'), damaged, scattered };
}

const refOf = ({ refAt }: Pick<Header, 'refAt'>, { cells }: CsvRow) => (cells[refAt] ?? '').trim();

async function scatteredRefs(rows: AsyncIterable<CsvRow>): Promise<ScatteredRefs> {
  const firstLines = new Map<string, number>();
  const scattered = new Map<string, number[]>();
  let header: Header | undefined;
  let last: string | undefined;
  for await (const row of rows) {
    if (!header) {
      header = headerOf(row, false, scattered);
      continue;
    }
    const ref = refOf(header, row);
    const first = firstLines.get(ref);
    if (first === undefined) firstLines.set(ref, row.line);
    else if (ref !== last && ref !== '') {
      const lines = scattered.get(ref) ?? [first];
      if (lines.length < mostLinesNamed) scattered.set(ref, [...lines, row.line]);
    }
    last = ref;
  }
  return scattered;
}

/** The job of rows that stand together; nothing where its ref was told of before, at its first line. */
function sentOf(rows: readonly CsvRow[], header: Header): Sent[] {
  const line = rows[0]?.line ?? 0;
  const ref = rows[0] ? refOf(header, rows[0]) : '';
  const apart = header.scattered.get(ref);
  if (apart && apart[0] !== line) return [];
  const named = { line, ...(ref === '' ? {} : { ref: ref.slice(0, 64) }) };
  const unread = header.damaged ? rows.filter(({ cells }) => cells.some((cell) => cell.includes('\uFFFD'))) : [];
  if (unread.length > 0) return [{ ...named, input: undefined, faults: unread.map(notUtf8) }];
  const { input, faults } = inputOf(rows, header.columns);
  const all = apart ? [standsApart(ref, apart), ...faults] : faults;
  return [{ ...named, input, faults: all, inItsWords: (fault) => asCsvFault(fault, rows, header.columns) }];
}

function notUtf8({ line }: CsvRow): CsvFault {
  return { ...faultSaying([], `line ${line} is not UTF-8`), line };
}

function standsApart(ref: string, lines: readonly number[]): CsvFault {
  const rule = `the rows of one job stand together, and its own begin on lines ${lines.join(' and ')}: sort the file by job number`;
  return { ...fault(['ref'], ref, rule), line: lines[0] };
}
