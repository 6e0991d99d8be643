import type { Column } from '../domain/csv-columns.ts';
import { asCsvFault, type CsvFault, type CsvRow, inputOf, readHeader } from '../domain/csv-rows.ts';
import { faultSaying } from '../domain/faults.ts';
import { csvRows, type FileRow } from './body-csv.ts';
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
  return throughDisk(chunks, (again) => jobsOf(() => csvRows(again())));
}

/** More sections than any job may have: the rest of its rows says nothing new. */
const mostRowsKept = 100;

async function* jobsOf(rows: () => AsyncIterable<FileRow>): AsyncGenerator<Sent[]> {
  const scattered = await scatteredRefs(rows());
  let header: Header | undefined;
  let job: FileRow[] = [];
  for await (const row of rows()) {
    if (!header) header = headerOf(row);
    else if (job[0] && refOf(header, job[0]) !== refOf(header, row)) {
      yield [sentOf(job, header, scattered)];
      job = [row];
    } else if (job.length < mostRowsKept) job.push(row);
  }
  if (header && job.length > 0) yield [sentOf(job, header, scattered)];
}

interface Header {
  readonly columns: readonly Column[];
  readonly refAt: number;
}

/** A header that cannot be read leaves nothing to say of the rows: it refuses the file. */
function headerOf({ cells, damaged }: FileRow): Header {
  if (damaged) throw new UploadCut(statusOf.malformed, 'The header is not UTF-8');
  const read = readHeader(cells);
  if ('faults' in read) throw new UploadCut(statusOf.invalid, 'The header cannot be read', read.faults);
  return { columns: read.columns, refAt: read.columns.findIndex(({ name }) => name === 'ref') };
}

const refOf = ({ refAt }: Header, { cells }: CsvRow) => cells[refAt] ?? '';

/** The refs whose rows do not stand together, each with the line where it comes again. */
async function scatteredRefs(rows: AsyncIterable<FileRow>): Promise<ReadonlyMap<string, number>> {
  const seen = new Set<string>();
  const scattered = new Map<string, number>();
  let header: Header | undefined;
  let last: string | undefined;
  for await (const row of rows) {
    if (!header) {
      header = headerOf(row);
      continue;
    }
    const ref = refOf(header, row);
    if (ref !== last && seen.has(ref) && !scattered.has(ref)) scattered.set(ref, row.line);
    seen.add(ref);
    last = ref;
  }
  return scattered;
}

function sentOf(rows: readonly FileRow[], header: Header, scattered: ReadonlyMap<string, number>): Sent {
  const line = rows[0]?.line ?? 0;
  const ref = rows[0] ? refOf(header, rows[0]) : '';
  const named = { line, ...(ref === '' ? {} : { ref: ref.slice(0, 64) }) };
  const damaged = rows.filter((row) => row.damaged);
  if (damaged.length > 0) return { ...named, input: undefined, faults: damaged.map(notUtf8) };
  const { input, faults } = inputOf(rows, header.columns);
  const again = scattered.get(ref);
  const all = again === undefined ? faults : [standsApart(again), ...faults];
  return { ...named, input, faults: all, inItsWords: (fault) => asCsvFault(fault, rows) };
}

function notUtf8({ line }: FileRow): CsvFault {
  return { ...faultSaying([], `line ${line} is not UTF-8`), line };
}

function standsApart(again: number): CsvFault {
  const message = `the rows of a job stand together, and this ref comes again on line ${again}: sort the file by ref`;
  return { ...faultSaying(['ref'], message), line: again };
}
