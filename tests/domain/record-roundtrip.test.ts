import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inSchemaOrder } from '../../src/domain/canonical.ts';
import { guarded, unguarded } from '../../src/domain/csv-cells.ts';
import { headerCells, inputOf, readHeader, rowsOf } from '../../src/domain/csv-rows.ts';
import type { FinishedJob } from '../../src/domain/record.ts';
import { checkRecord } from '../../src/domain/record-rules.ts';
import { csvText } from '../../src/http/records-csv-text.ts';
import { context, sentRecord, storedRecord } from './arbitrary-record.ts';

describe('identity: a record goes out and comes back', () => {
  it('as JSON, unchanged', () => {
    fc.assert(
      fc.property(storedRecord, (record) => {
        const checked = checkRecord(JSON.parse(JSON.stringify(inSchemaOrder(record))), context);
        expect(checked).toMatchObject({ ok: true });
        if (checked.ok) expect(checked.record).toEqual(record);
      }),
    );
  });

  it('as CSV, unchanged, also through a file of , or ; or tab', () => {
    fc.assert(
      fc.property(storedRecord, fc.constantFrom(',', ';', '\t'), (record, delimiter) => {
        expect(throughCsv(record, delimiter)).toEqual(record);
      }),
      { numRuns: 300 },
    );
  });

  it('with one canonical text whatever order its fields come in', () => {
    fc.assert(
      fc.property(storedRecord, (record) => {
        expect(JSON.stringify(inSchemaOrder(reversed(record)))).toBe(JSON.stringify(record));
      }),
    );
  });

  it('and its stored form is a fixed point', () => {
    fc.assert(
      fc.property(sentRecord, (sent) => {
        const once = checkRecord(sent, context);
        const twice = checkRecord(once.ok ? structuredClone(once.record) : undefined, context);
        expect(twice).toEqual(once);
      }),
    );
  });
});

describe('identity: the guard before formulas', () => {
  it('gives back any text, and nothing it lets out begins like a formula', () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom("'", '=', '+', '-', '@', '\t', 'a', ' ') }), (text) => {
        expect(unguarded(guarded(text))).toBe(text);
        expect(guarded(text)).not.toMatch(/^[=+\-@\t\r\n]/);
      }),
    );
  });

  it('leaves an apostrophe alone that a person wrote', () => {
    expect(guarded("'tis clean")).toBe("'tis clean");
    expect(unguarded("'tis clean")).toBe("'tis clean");
  });
});

function throughCsv(record: FinishedJob, delimiter: string): unknown {
  const text = csvText([headerCells, ...rowsOf(record)], delimiter);
  const [header = [], ...rows]: string[][] = parse(text, { delimiter, record_delimiter: ['\r\n', '\n', '\r'] });
  const read = readHeader(header);
  if ('faults' in read) throw new Error(JSON.stringify(read.faults));
  const { input, faults } = inputOf(
    rows.map((cells, i) => ({ line: i + 2, cells })),
    read.columns,
  );
  expect(faults).toEqual([]);
  const checked = checkRecord(input, context);
  return checked.ok ? checked.record : checked.faults;
}

function reversed<T>(value: T): T {
  if (Array.isArray(value)) return value.map(reversed) as T;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, part]) => [key, reversed(part)]),
  ) as T;
}
