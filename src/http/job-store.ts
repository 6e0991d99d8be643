import { type Fault, faultSaying } from '../domain/faults.ts';
import { numberAfter } from '../domain/job-number.ts';
import type { FinishedJob } from '../domain/record.ts';
import { checkRecord } from '../domain/record-rules.ts';
import { nextNumber } from '../store/job-numbers.ts';
import { readListKeys } from '../store/lists.ts';
import { insertRecords, rowOf } from '../store/records.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';

export type StoredJob = { readonly ref: string } | { readonly faults: readonly Fault[] };

/** Numbers tried after a proposed one; more jobs than these are not recorded between opening a form and sending it. */
const numbersTried = 200;

/**
 * Stores what a form gave by the rules of every record. Sent again, it is stored once. A number that the program itself
 * proposed may have been taken by somebody else meanwhile: then the next free one is. On the way to it the same content
 * under one of the numbers is the same sending come twice, so it too is stored once.
 */
export async function storeJob(
  tx: ShopTransaction,
  input: Record<string, unknown>,
  proposedRef: string | undefined,
  now: Date,
): Promise<StoredJob> {
  const checked = checkRecord(input, { now, ...(await readListKeys(tx)) });
  if (!checked.ok) return { faults: checked.faults };
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
