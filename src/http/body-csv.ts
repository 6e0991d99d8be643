import { pipeline, Readable } from 'node:stream';
import { CsvError, parse } from 'csv-parse';
import { readColumns } from '../domain/csv-columns.ts';
import type { CsvRow } from '../domain/csv-rows.ts';
import { tooLarge } from './body-bytes.ts';
import { limits, UploadCut } from './body-limits.ts';
import { statusOf } from './status.ts';

/** The rows of a CSV body, the header first: RFC 4180, with or without a byte-order mark, parted by `,`, `;` or tab. */
export async function* csvRows(chunks: AsyncIterable<Buffer>): AsyncGenerator<CsvRow> {
  const source = chunks[Symbol.asyncIterator]();
  try {
    const { head, all } = await withHead(source);
    const parser = parse({
      delimiter: delimiterOf(head),
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
      record_delimiter: ['\r\n', '\n', '\r'],
      max_record_size: limits.line,
    });
    pipeline(Readable.from(all), parser, () => {}); // what fails is thrown to whoever reads the rows
    const counted = { pairs: 0 };
    // The parser's own type does not tell that `info` makes it yield this.
    for await (const row of parser as AsyncIterable<ParsedRow>) yield csvRow(row, counted);
  } catch (error) {
    throw error instanceof CsvError ? cutAt(error) : error;
  } finally {
    await source.return?.(); // who stops early would else leave the file open
  }
}

interface ParsedRow {
  readonly record: readonly string[];
  readonly info: { readonly lines: number };
}

const longestHead = 64 * 1024;

/** The beginning of the file up to the end of its first line, and the file again from its beginning. */
async function withHead(source: AsyncIterator<Buffer>): Promise<{ head: string; all: AsyncGenerator<Buffer> }> {
  let head = Buffer.alloc(0);
  while (head.length < longestHead && !/[\r\n]/.test(head.toString('latin1'))) {
    const next = await source.next();
    if (next.done) break;
    head = Buffer.concat([head, next.value]);
  }
  if (head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf) head = head.subarray(3);
  return { head: head.toString('latin1', 0, longestHead).split(/[\r\n]/, 1)[0] ?? '', all: followed(head, source) };
}

async function* followed(head: Buffer, rest: AsyncIterator<Buffer>): AsyncGenerator<Buffer> {
  yield head;
  for (let next = await rest.next(); !next.done; next = await rest.next()) yield next.value;
}

/** The sign between the header's names: the one that parts it into the most columns that we know, else into the most. */
function delimiterOf(head: string): string {
  const names = (delimiter: string) => head.replaceAll(/"(""|[^"])*"/g, quotedName).split(delimiter);
  const known = (delimiter: string) =>
    names(delimiter).filter((name) => readColumns.has(name.trim().toLowerCase())).length;
  const better = (a: string, b: string) => known(a) - known(b) || names(a).length - names(b).length;
  return [',', ';', '\t'].reduce((best, delimiter) => (better(delimiter, best) > 0 ? delimiter : best));
}

/** A name in quotes as one without, its own signs made harmless. */
function quotedName(quoted: string): string {
  return quoted.slice(1, -1).replaceAll(/[,;\t]/g, ' ');
}

/** The parser counts a CR LF inside quotes as two lines; people and editors count one. */
function csvRow({ record, info }: ParsedRow, counted: { pairs: number }): CsvRow {
  let breaks = 0;
  for (const cell of record) {
    if (!cell.includes('\n') && !cell.includes('\r')) continue;
    for (const [sign] of cell.matchAll(/\r\n|\r|\n/g)) {
      breaks += 1;
      if (sign === '\r\n') counted.pairs += 1;
    }
  }
  return { line: info.lines - counted.pairs - breaks, cells: record };
}

function cutAt(error: CsvError): UploadCut {
  if (error.code === 'CSV_MAX_RECORD_SIZE') return tooLarge(`The row on line ${error.lines}`, limits.line);
  const what = csvFaults[error.code] ?? 'this is not CSV';
  return new UploadCut(statusOf.malformed, `Line ${error.lines}: ${what}`);
}

const csvFaults: Readonly<Record<string, string>> = {
  CSV_QUOTE_NOT_CLOSED: 'a quoted cell begins here and never ends',
  INVALID_OPENING_QUOTE: 'a quote stands inside a cell that is not quoted; quote the cell and double the quote',
  CSV_INVALID_CLOSING_QUOTE: 'something follows the end of a quoted cell; a quote inside a cell is written twice',
};
