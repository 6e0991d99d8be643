import { inSchemaOrder } from '../domain/canonical.ts';
import type { FinishedJob } from '../domain/record.ts';
import { etagOf, type RecordRow, rowOf, type StoredRecord } from './records-form.ts';
import type { ShopTransaction } from './shop-scope.ts';

export type Change = 'replaced' | 'deleted' | 'check' | 'comeback';
/** What leaves a version behind, and the id of the person or the key that did it. */
export interface Why<Kind extends Change = Change> {
  readonly reason: Kind;
  readonly by: string;
}

export interface Changed {
  readonly outcome: 'changed' | 'unchanged';
  readonly stored: StoredRecord;
}
export interface Missing {
  readonly outcome: 'missing';
}
export type ChangeResult = Changed | Missing | { readonly outcome: 'stale'; readonly etag: string };

/** Whether the state that a client saw is the present one: `undefined` asks nothing, as `*` does. */
export type Expected = readonly string[] | '*' | undefined;

/** Puts another content in the place of a record's; the former version stays readable. `by` is a person or a key. */
export async function replaceRecord(
  tx: ShopTransaction,
  record: FinishedJob,
  expected: Expected,
  by: string,
): Promise<ChangeResult> {
  const stored = await lockRecord(tx, record.ref);
  if (!stored) return { outcome: 'missing' };
  if (isStale(stored, expected)) return { outcome: 'stale', etag: etagOf(stored) };
  return change(tx, stored, record, { reason: 'replaced', by });
}

/**
 * Adds to a record what was learnt after the work. `add` is given the record as it stands, which nobody else can change
 * meanwhile, and gives the new one; what it throws leaves everything as it was.
 */
export async function followUp(
  tx: ShopTransaction,
  ref: string,
  why: Why<'check' | 'comeback'>,
  add: (record: FinishedJob) => FinishedJob,
): Promise<Changed | Missing> {
  const stored = await lockRecord(tx, ref);
  return stored ? change(tx, stored, inSchemaOrder(add(stored.record)), why) : { outcome: 'missing' };
}

/** Takes a record out; its last content stays readable among its versions. */
export async function deleteRecord(
  tx: ShopTransaction,
  ref: string,
  expected: Expected,
  by: string,
): Promise<ChangeResult> {
  const stored = await lockRecord(tx, ref);
  if (!stored) return { outcome: 'missing' };
  if (isStale(stored, expected)) return { outcome: 'stale', etag: etagOf(stored) };
  await keepVersion(tx, ref, { reason: 'deleted', by });
  await tx.sql`delete from job where shop_id = ${tx.shopId} and ref = ${ref}`;
  return { outcome: 'changed', stored };
}

async function change(tx: ShopTransaction, stored: StoredRecord, record: FinishedJob, why: Why): Promise<Changed> {
  const row = rowOf(record);
  if (row.digest === stored.digest) return { outcome: 'unchanged', stored };
  const kept = await keepVersion(tx, record.ref, why);
  return { outcome: 'changed', stored: await write(tx, row, kept + 1) };
}

async function lockRecord({ sql, shopId }: ShopTransaction, ref: string): Promise<StoredRecord | undefined> {
  const [row] = await sql<StoredRecord[]>`
    select record, version, encode(digest, 'hex') as digest from job
    where shop_id = ${shopId} and ref = ${ref} for update`;
  return row;
}

function isStale(stored: StoredRecord, expected: Expected): boolean {
  return Array.isArray(expected) && !expected.includes(etagOf(stored));
}

/**
 * Keeps the present content as a version and gives its number. A job that came in while one of its ref was being
 * deleted may not know how far the versions have come: the number is taken past all of them.
 */
async function keepVersion({ sql, shopId }: ShopTransaction, ref: string, { reason, by }: Why): Promise<number> {
  const [row] = await sql<{ version: number }[]>`
    insert into job_version (shop_id, ref, version, record, digest, reason, changed_by)
    select shop_id, ref, greatest(version, 1 + coalesce(
        (select max(v.version) from job_version v where v.shop_id = ${shopId} and v.ref = ${ref}), 0)),
      record, digest, ${reason}, ${by}
    from job where shop_id = ${shopId} and ref = ${ref}
    returning version`;
  if (!row) throw new Error(`record ${ref} is locked and yet not there`);
  return row.version;
}

async function write({ sql, shopId }: ShopTransaction, row: RecordRow, version: number): Promise<StoredRecord> {
  await sql`
    update job set version = ${version}, finished_at = ${row.finishedAt}, record = ${row.json}::text::jsonb,
      digest = decode(${row.digest}, 'hex')
    where shop_id = ${shopId} and ref = ${row.ref}`;
  return { record: JSON.parse(row.json), version, digest: row.digest };
}
