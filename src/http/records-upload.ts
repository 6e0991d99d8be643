import type { Fault } from '../domain/faults.ts';
import type { FinishedJob } from '../domain/record.ts';
import { checkRecord, keysNamed } from '../domain/record-rules.ts';
import { createMissing, type ListKeys } from '../store/lists.ts';
import { insertRecords, openStage, type RecordRow, rowOf, stage, storeStaged } from '../store/records.ts';
import { type Database, inShop, type ShopTransaction } from '../store/shop-scope.ts';
import type { Report, Tally } from './records-tally.ts';

/** One record of an upload, as far as it could be read. */
export interface Sent {
  readonly line: number;
  /** Where the input does not tell it. */
  readonly ref?: string;
  readonly input: unknown;
  /** What is wrong already before the record's own rules. */
  readonly faults: readonly Fault[];
  /** A fault of the record in the words of its file. */
  readonly inItsWords?: (fault: Fault) => Fault;
}

export interface UploadOptions {
  readonly allOrNothing: boolean;
  readonly dryRun: boolean;
  readonly createMissing: boolean;
}

interface UploadTask {
  readonly db: Database;
  readonly shopId: string;
  readonly now: Date;
  readonly keys: ListKeys;
  readonly options: UploadOptions;
}

/** Takes an upload as it comes in. `tally` counts what is committed, also where the body breaks off. */
export function takeUpload(task: UploadTask, sent: AsyncIterable<Sent[]>, tally: Tally): Promise<Report> {
  const { allOrNothing, dryRun } = task.options;
  return allOrNothing || dryRun ? takeTogether(task, sent, tally) : takeEach(task, sent, tally);
}

/** Large enough that round trips do not count, small enough that little is held. */
const batchSize = 500;

type Checked = RecordRow & { readonly line: number; readonly record: FinishedJob };

/** Each record stands or falls alone: a batch is committed before the next is read. */
async function takeEach(task: UploadTask, sent: AsyncIterable<Sent[]>, tally: Tally): Promise<Report> {
  for await (const batch of batches(sent)) {
    const rows = check(task, batch, tally);
    if (rows.length === 0) continue;
    const missing = missingKeys(task, rows);
    const outcomes = await inShop(task.db, task.shopId, async (tx) => {
      if (missing) await createMissing(tx, missing);
      return insertRecords(tx, rows);
    });
    outcomes.forEach(({ kind }, i) => {
      const row = rows[i];
      if (row) tally.count(kind, row);
    });
  }
  return tally.report();
}

/**
 * All or none, or none at all: gathered first, stored in one pass, undone where that was not to be. The first batch is
 * waited for before a transaction is open: a slow client holds no connection.
 */
async function takeTogether(task: UploadTask, sent: AsyncIterable<Sent[]>, tally: Tally): Promise<Report> {
  const { dryRun, allOrNothing } = task.options;
  const rest = batches(sent);
  const undone = new Undone();
  try {
    const first = await rest.next();
    await inShop(task.db, task.shopId, async (tx) => {
      await openStage(tx);
      const missing = await gather(tx, task, first, rest, tally);
      await createMissing(tx, missing);
      tally.add(await storeStaged(tx, tally.room));
      if (dryRun || tally.hasProblems) throw undone;
    });
  } catch (error) {
    if (error !== undone) throw error;
  } finally {
    await rest.return(undefined);
  }
  if (allOrNothing && tally.hasProblems) tally.takeBack();
  return tally.report(dryRun);
}

/** Thrown to roll a transaction back on purpose. */
class Undone extends Error {}

/** Gives the keys that are missing on the lists. */
async function gather(
  tx: ShopTransaction,
  task: UploadTask,
  first: IteratorResult<Sent[]>,
  rest: AsyncGenerator<Sent[]>,
  tally: Tally,
): Promise<MissingKeys> {
  const missing = { technicians: new Set<string>(), machines: new Set<string>() };
  for (let batch = first; !batch.done; batch = await rest.next()) {
    const rows = check(task, batch.value, tally);
    const more = missingKeys(task, rows);
    for (const key of more?.technicians ?? []) missing.technicians.add(key);
    for (const key of more?.machines ?? []) missing.machines.add(key);
    if (rows.length > 0) await stage(tx, rows);
  }
  return { technicians: [...missing.technicians], machines: [...missing.machines] };
}

/** Where the body breaks off, what came before it is still a batch. */
async function* batches(sent: AsyncIterable<Sent[]>): AsyncGenerator<Sent[]> {
  let batch: Sent[] = [];
  try {
    for await (const some of sent) {
      for (const one of some) {
        batch.push(one);
        if (batch.length < batchSize) continue;
        yield batch;
        batch = [];
      }
    }
  } catch (error) {
    yield batch;
    throw error;
  }
  yield batch;
}

function check({ now, keys, options }: UploadTask, batch: readonly Sent[], tally: Tally): Checked[] {
  const context = { now, ...keys, createMissing: options.createMissing };
  return batch.flatMap(({ line, ref, input, faults, inItsWords }) => {
    const checked = faults.length > 0 ? undefined : checkRecord(input, context);
    if (checked?.ok) {
      const { record, doubts } = checked;
      if (doubts.length > 0) tally.doubt({ line, ref: record.ref, doubts });
      return [{ ...rowOf(record), line, record }];
    }
    const all = [...faults, ...(checked?.faults.map((fault) => inItsWords?.(fault) ?? fault) ?? [])];
    tally.reject(line, ref ?? refIn(input), all);
    return [];
  });
}

function refIn(input: unknown): string | undefined {
  const ref: unknown = typeof input === 'object' && input !== null ? Reflect.get(input, 'ref') : undefined;
  return typeof ref === 'string' ? ref.slice(0, 64) : undefined;
}

type MissingKeys = Parameters<typeof createMissing>[1];

/** Keys that the records name and the lists do not, where the import is to create them. */
function missingKeys({ keys, options }: UploadTask, rows: readonly Checked[]): MissingKeys | undefined {
  if (!options.createMissing) return undefined;
  const named = rows.map(({ record }) => keysNamed(record));
  const missing = (list: 'technicians' | 'machines') => [
    ...new Set(named.flatMap((names) => names[list].filter((key) => !keys[list].has(key)))),
  ];
  return { technicians: missing('technicians'), machines: missing('machines') };
}
