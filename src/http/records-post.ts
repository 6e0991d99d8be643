import { checkRecord, keysNamed } from '../domain/record-rules.ts';
import { createMissing, type KnownKeys } from '../store/lists.ts';
import { insertRecords, type RecordRow, readRecord, rowOf } from '../store/records.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import { bodyChunks, bodyJson } from './body-bytes.ts';
import { csvRecords } from './body-csv-records.ts';
import { throughDisk } from './body-disk.ts';
import { UploadCut } from './body-limits.ts';
import { ndjsonRecords } from './body-lines.ts';
import { mediaTypeOf } from './body-media.ts';
import type { AppDeps } from './env.ts';
import { faultsProblem, refusal } from './problem.ts';
import { type RecordContext, receiptAnswer } from './records-answers.ts';
import { conflictFault, Tally } from './records-tally.ts';
import { takeUpload, type UploadOptions } from './records-upload.ts';
import { statusOf } from './status.ts';

/** One JSON object, or an upload of many. */
export async function takeRecords(deps: AppDeps, keys: KnownKeys, c: RecordContext, options: UploadOptions) {
  if (options.createMissing && c.get('shop').role !== 'owner')
    return refusal(statusOf.forbidden, 'create-missing changes the lists of the shop: it needs an owner key');
  const media = mediaTypeOf(c, ['application/json', 'application/x-ndjson', 'text/csv']);
  if (media === 'application/json') return takeOne(deps, keys, c, options);
  return takeMany(deps, keys, c, options, media === 'text/csv' ? csvRecords : ndjsonBy(options));
}

async function takeMany(
  { db, now }: AppDeps,
  known: KnownKeys,
  c: RecordContext,
  options: UploadOptions,
  read: typeof ndjsonRecords,
) {
  const { shopId } = c.get('shop');
  const keys = await known.fresh(shopId);
  const tally = new Tally();
  try {
    const report = await takeUpload({ db, shopId, now: now(), keys, options }, read(bodyChunks(c)), tally);
    return c.json(report, 200);
  } catch (error) {
    throw error instanceof UploadCut ? brokenOff(error, tally) : error;
  } finally {
    c.set('accepted', options.dryRun ? 0 : tally.accepted);
  }
}

/** What is stored at its end alone is read from disk: while it comes in it holds no connection to the database. */
function ndjsonBy({ allOrNothing, dryRun }: UploadOptions): typeof ndjsonRecords {
  if (!allOrNothing && !dryRun) return ndjsonRecords;
  return (chunks) => throughDisk(chunks, (again) => ndjsonRecords(again()));
}

/** Says what is stored of an upload that could not be read to its end. */
function brokenOff(cut: UploadCut, tally: Tally): UploadCut {
  const { accepted } = tally;
  const stored = accepted === 0 ? 'nothing of this upload is stored' : `${accepted} records before it are stored`;
  return new UploadCut(cut.status, `${cut.message}; ${stored}`, cut.faults);
}

async function takeOne({ db, now }: AppDeps, known: KnownKeys, c: RecordContext, options: UploadOptions) {
  const { shopId } = c.get('shop');
  const input = await bodyJson(c);
  const context = { now: now(), createMissing: options.createMissing };
  let keys = await known.known(shopId);
  let checked = checkRecord(input, { ...context, ...keys });
  if (!checked.ok || options.createMissing) {
    keys = await known.fresh(shopId);
    checked = checkRecord(input, { ...context, ...keys });
  }
  if (!checked.ok) return faultsProblem(statusOf.invalid, checked.faults);
  const { record, doubts } = checked;
  const row = rowOf(record);
  const named = keysNamed(record);
  const taken = await inShop(db, shopId, async (tx) => {
    if (options.dryRun) return foreseen(tx, row);
    if (options.createMissing) await createMissing(tx, named);
    return stored(tx, row);
  });
  if (!taken) return faultsProblem(statusOf.conflict, [conflictFault(record.ref)]);
  if (options.createMissing) await known.fresh(shopId);
  c.set('accepted', taken.outcome === 'stored' && !options.dryRun ? 1 : 0);
  return receiptAnswer(c, record.ref, { ...taken, doubts, dryRun: options.dryRun });
}

interface Taken {
  readonly outcome: 'stored' | 'unchanged';
  readonly version?: number;
  readonly digest?: string;
}

/** Undefined where other content stands under this ref. */
async function stored(tx: ShopTransaction, row: RecordRow): Promise<Taken | undefined> {
  const [outcome] = await insertRecords(tx, [row]);
  if (outcome?.kind === 'stored') return { outcome: 'stored', version: outcome.version, digest: row.digest };
  if (outcome?.kind !== 'unchanged') return undefined;
  return { outcome: 'unchanged', ...(await readRecord(tx, row.ref)) };
}

/** What would become of the record, without storing it. */
async function foreseen(tx: ShopTransaction, row: RecordRow): Promise<Taken | undefined> {
  const present = await readRecord(tx, row.ref);
  if (!present) return { outcome: 'stored' };
  return stored(tx, row); // what is there is never written over
}
