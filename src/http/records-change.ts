import { z } from 'zod';
import { fault, readBy } from '../domain/faults.ts';
import { dryingCheck } from '../domain/record.ts';
import { checkRecord } from '../domain/record-rules.ts';
import type { KnownKeys } from '../store/lists.ts';
import { deleteRecord, replaceRecord } from '../store/records.ts';
import { inShop } from '../store/shop-scope.ts';
import { bodyJson } from './body-bytes.ts';
import { mediaTypeOf } from './body-media.ts';
import type { AppDeps } from './env.ts';
import { addLearnt, type Learnt, mostChecks } from './follow-ups.ts';
import { expectedBy } from './if-match.ts';
import { faultsProblem, refusal } from './problem.ts';
import { changeReceipt, changeRefusal, noSuchRecord, type RecordContext } from './records-answers.ts';
import { comebackBody } from './records-schemas.ts';
import { statusOf } from './status.ts';

/** Puts the record that came in the place of the one of this ref. */
export async function replace(deps: AppDeps, known: KnownKeys, c: RecordContext, ref: string) {
  const expected = expectedBy(c);
  if (expected === undefined)
    return refusal(statusOf.preconditionRequired, 'Send If-Match with the ETag of the record that is to be replaced');
  const { shopId, keyId } = c.get('shop');
  const input = await jsonOf(c);
  const checked = checkRecord(input, { now: deps.now(), ...(await known.fresh(shopId)) });
  if (!checked.ok) return faultsProblem(statusOf.invalid, checked.faults);
  const { record } = checked;
  if (record.ref !== ref) {
    const rule = `the ref of this address, ${JSON.stringify(ref)}; a ref is never changed`;
    return faultsProblem(statusOf.invalid, [fault(['ref'], record.ref, rule)]);
  }
  const result = await inShop(deps.db, shopId, (tx) => replaceRecord(tx, record, expected, keyId));
  if (!('stored' in result)) return changeRefusal(ref, result);
  c.set('accepted', result.outcome === 'changed' ? 1 : 0);
  return c.json(changeReceipt(c, result), 200);
}

export async function remove({ db }: AppDeps, c: RecordContext, ref: string) {
  const expected = expectedBy(c);
  const result = await inShop(db, c.get('shop').shopId, (tx) => deleteRecord(tx, ref, expected, c.get('shop').keyId));
  return 'stored' in result ? c.body(null, 204) : changeRefusal(ref, result);
}

/** Adds one drying check or several. */
export async function addChecks(deps: AppDeps, c: RecordContext, ref: string) {
  const input = await jsonOf(c);
  const read = readBy(Array.isArray(input) ? checkList : dryingCheck, input);
  if (!read.ok) return faultsProblem(statusOf.invalid, read.faults);
  return followUp(deps, c, ref, { checks: read.value });
}

/** Says what the customer came back with. */
export async function addComeback(deps: AppDeps, c: RecordContext, ref: string) {
  const read = readBy(comebackBody, await jsonOf(c));
  if (!read.ok) return faultsProblem(statusOf.invalid, read.faults);
  return followUp(deps, c, ref, { outcome: read.value });
}

const checkList = z.array(dryingCheck).min(1).max(mostChecks);

async function followUp(deps: AppDeps, c: RecordContext, ref: string, learnt: Learnt) {
  const { shopId, keyId } = c.get('shop');
  const result = await addLearnt(deps, shopId, ref, learnt, keyId);
  if ('faults' in result) return faultsProblem(statusOf.invalid, result.faults);
  if (result.outcome === 'missing') return noSuchRecord(ref);
  const receipt = changeReceipt(c, result);
  return receipt.outcome === 'stored' ? c.json(receipt, 201) : c.json(receipt, 200);
}

async function jsonOf(c: RecordContext): Promise<unknown> {
  mediaTypeOf(c, ['application/json']);
  return bodyJson(c);
}
