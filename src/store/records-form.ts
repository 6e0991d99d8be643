import { createHash } from 'node:crypto';
import type { FinishedJob } from '../domain/record.ts';

/** A checked record as the table takes it. */
export interface RecordRow {
  readonly ref: string;
  /** UTC: PostgreSQL takes fewer offsets than RFC 3339 allows. */
  readonly finishedAt: string;
  readonly json: string;
  /** SHA-256 over the canonical text, in hex: the same content has the same digest. */
  readonly digest: string;
}

/** A stored record with what tells one state of it from another. */
export interface StoredRecord {
  readonly record: FinishedJob;
  readonly version: number;
  readonly digest: string;
}

/**
 * The row of a record with its fields in the schema's order, as `checkRecord` and `inSchemaOrder` give it: one text for
 * one content.
 */
export function rowOf(record: FinishedJob): RecordRow {
  const json = JSON.stringify(record);
  return {
    ref: record.ref,
    finishedAt: new Date(record.finishedAt).toISOString(),
    json,
    digest: createHash('sha256').update(json).digest('hex'),
  };
}

/** The entity tag (RFC 9110, 8.8.3) of one state of a record. */
export function etagOf({ version, digest }: Pick<StoredRecord, 'version' | 'digest'>): string {
  return `"${version}-${digest.slice(0, 16)}"`;
}
