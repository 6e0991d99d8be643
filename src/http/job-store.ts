import { type Fault, faultSaying } from '../domain/faults.ts';
import { numberAfter } from '../domain/job-number.ts';
import type { FinishedJob } from '../domain/record.ts';
import { checkRecord } from '../domain/record-rules.ts';
import { nextNumber } from '../store/job-numbers.ts';
import { readListKeys } from '../store/lists.ts';
import { insertRecords, rowOf } from '../store/records.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';

type StoredJob = { readonly ref: string } | { readonly faults: readonly Fault[] };

interface JobToStore {
  readonly job: Readonly<Record<string, unknown>>;
  /** The number that the form began with. */
  readonly proposedRef: string | undefined;
  /** What was found wrong in reading the form: with any of these nothing is stored. */
  readonly faults: readonly Fault[];
  readonly now: Date;
}

/** Numbers tried after a proposed one; more jobs than these are not recorded between opening a form and sending it. */
const numbersTried = 200;

/**
 * Stores what a form gave by the rules of every record. Sent again, it is stored once. A number that the program itself
 * proposed may have been taken by somebody else meanwhile: then the next free one is. On the way to it the same content
 * under one of the numbers is the same sending come twice, so it too is stored once.
 */
export async function storeJob(tx: ShopTransaction, { job, proposedRef, faults, now }: JobToStore): Promise<StoredJob> {
  const checked = checkRecord(job, { now, ...(await readListKeys(tx)) });
  if (!checked.ok) return { faults: [...faults, ...checked.faults] };
  if (faults.length > 0) return { faults };
  const { record } = checked;
  const tries = record.ref === proposedRef ? numbersTried : 1;
  for (let step = 0; step < tries; step++) {
    const ref = step === 0 ? record.ref : numberAfter(record.ref, step);
    if (ref !== undefined && (await put(tx, { ...record, ref }))) return { ref };
  }
  const next = await nextNumber(tx);
  const way = next === undefined ? '' : `; the next free number is ${next}`;
  return { faults: [faultSaying(['ref'], `Job ${record.ref} is recorded already, with other content${way}`)] };
}

async function put(tx: ShopTransaction, record: FinishedJob): Promise<boolean> {
  const [outcome] = await insertRecords(tx, [rowOf(record)]);
  return outcome !== undefined && outcome.kind !== 'conflicting';
}
