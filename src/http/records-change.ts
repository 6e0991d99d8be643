import { z } from 'zod';
import { checkContradictions, sortedChecks } from '../domain/drying-checks.ts';
import { type Fault, fault, faultSaying, readBy } from '../domain/faults.ts';
import { dryingCheck, type FinishedJob } from '../domain/record.ts';
import { checkRecord } from '../domain/record-rules.ts';
import type { KnownKeys } from '../store/lists.ts';
import { deleteRecord, type Expected, followUp, replaceRecord } from '../store/records.ts';
import { inShop } from '../store/shop-scope.ts';
import { bodyJson } from './body-bytes.ts';
import { mediaTypeOf } from './body-media.ts';
import type { AppDeps } from './env.ts';
import { faultsProblem, refusal } from './problem.ts';
import { changeReceipt, changeRefusal, noSuchRecord, type RecordContext } from './records-answers.ts';
import { comebackBody } from './records-schemas.ts';
import { statusOf } from './status.ts';

/** Puts the record that came in the place of the one of this ref. */
export async function replace(deps: AppDeps, known: KnownKeys, c: RecordContext, ref: string) {
  const expected = expectedBy(c);
  if (expected === undefined)
    return refusal(statusOf.preconditionRequired, 'Send If-Match with the ETag of the record that is to be replaced');
  const { shopId } = c.get('shop');
  const input = await jsonOf(c);
  const checked = checkRecord(input, { now: deps.now(), ...(await known.fresh(shopId)) });
  if (!checked.ok) return faultsProblem(statusOf.invalid, checked.faults);
  const { record } = checked;
  if (record.ref !== ref) {
    const rule = `the ref of this address, ${JSON.stringify(ref)}; a ref is never changed`;
    return faultsProblem(statusOf.invalid, [fault(['ref'], record.ref, rule)]);
  }
  const result = await inShop(deps.db, shopId, (tx) => replaceRecord(tx, record, expected));
  return 'stored' in result ? c.json(changeReceipt(c, result), 200) : changeRefusal(ref, result);
}

export async function remove({ db }: AppDeps, c: RecordContext, ref: string) {
  const expected = expectedBy(c);
  const result = await inShop(db, c.get('shop').shopId, (tx) => deleteRecord(tx, ref, expected));
  return 'stored' in result ? c.body(null, 204) : changeRefusal(ref, result);
}

/** Adds one drying check or several. */
export async function addChecks(deps: AppDeps, c: RecordContext, ref: string) {
  const input = await jsonOf(c);
  const read = readBy(Array.isArray(input) ? checkList : dryingCheck, input);
  if (!read.ok) return faultsProblem(statusOf.invalid, read.faults);
  const more = Array.isArray(read.value) ? read.value : [read.value];
  return followUpAnswer(deps, c, ref, 'check', (record) => withChecks(record, more));
}

/** Says what the customer came back with. */
export async function addComeback(deps: AppDeps, c: RecordContext, ref: string) {
  const read = readBy(comebackBody, await jsonOf(c));
  if (!read.ok) return faultsProblem(statusOf.invalid, read.faults);
  const learnt = read.value;
  return followUpAnswer(deps, c, ref, 'comeback', (record) => ({
    ...record,
    outcome: { ...record.outcome, ...learnt },
  }));
}

const mostChecks = 50;
const checkList = z.array(dryingCheck).min(1).max(mostChecks);

async function followUpAnswer(
  { db }: AppDeps,
  c: RecordContext,
  ref: string,
  reason: 'check' | 'comeback',
  add: (record: FinishedJob) => FinishedJob,
) {
  try {
    const result = await inShop(db, c.get('shop').shopId, (tx) => followUp(tx, ref, reason, add));
    if (result.outcome === 'missing') return noSuchRecord(ref);
    const receipt = changeReceipt(c, result);
    return receipt.outcome === 'stored' ? c.json(receipt, 201) : c.json(receipt, 200);
  } catch (error) {
    if (error instanceof Refused) return faultsProblem(statusOf.invalid, error.faults);
    throw error;
  }
}

/** Rolls back a follow-up that does not go with the record. */
class Refused extends Error {
  readonly faults: readonly Fault[];

  constructor(faults: readonly Fault[]) {
    super('the follow-up does not go with the record');
    this.faults = faults;
  }
}

function withChecks(record: FinishedJob, more: FinishedJobChecks): FinishedJob {
  const all = [...(record.drying?.checks ?? []), ...more];
  const contradictions = checkContradictions(all);
  if (contradictions.length > 0) throw new Refused(contradictions);
  const checks = sortedChecks(all);
  if (checks.length > mostChecks)
    throw new Refused([faultSaying(['drying', 'checks'], `a record holds at most ${mostChecks} drying checks`)]);
  return { ...record, drying: { ...record.drying, checks } };
}

type FinishedJobChecks = NonNullable<FinishedJob['drying']>['checks'];

async function jsonOf(c: RecordContext): Promise<unknown> {
  mediaTypeOf(c, ['application/json']);
  return bodyJson(c);
}

function expectedBy(c: RecordContext): Expected {
  const header = c.req.header('if-match');
  if (header === undefined) return undefined;
  return header.trim() === '*' ? '*' : header.split(',').map((tag) => tag.trim());
}
