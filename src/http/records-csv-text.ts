import { stringify } from 'csv-stringify/sync';

/** Rows as CSV text (RFC 4180): every row ends in CR LF, and a cell is quoted where any reader could mistake it. */
export function csvText(rows: readonly (readonly string[])[], delimiter = ','): string {
  return stringify([...rows], { delimiter, record_delimiter: '\r\n', quoted_match: mistakable });
}

const mistakable = /[",;\t\r\n\uFEFF]|^\s|\s$/;
