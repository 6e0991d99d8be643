import { checkContradictions, sortedChecks } from '../domain/drying-checks.ts';
import { type Fault, faultSaying } from '../domain/faults.ts';
import type { DryingCheck, FinishedJob } from '../domain/record.ts';
import type { Comeback, Damage } from '../domain/vocabulary.ts';
import { type Changed, followUp, type Why } from '../store/records.ts';
import { type Database, inShop } from '../store/shop-scope.ts';

/** What became of something learnt after the work; faults where it does not go with the record, which is left as it was. */
export type FollowedUp = Changed | { readonly outcome: 'missing' } | { readonly faults: readonly Fault[] };

export const mostChecks = 50;

/** Adds drying checks to a record; `by` is a person or a key. */
export function addDryingChecks(
  db: Pick<Database, 'sql'>,
  shopId: string,
  ref: string,
  more: readonly DryingCheck[],
  by: string,
): Promise<FollowedUp> {
  return following(db, shopId, ref, { reason: 'check', by }, (record) => withChecks(record, more));
}

/** Says of a record what the customer came back with. */
export function addComebackTo(
  db: Pick<Database, 'sql'>,
  shopId: string,
  ref: string,
  learnt: { readonly comeback: Comeback; readonly damage?: Damage | undefined },
  by: string,
): Promise<FollowedUp> {
  const { comeback, damage } = learnt;
  return following(db, shopId, ref, { reason: 'comeback', by }, (record) => ({
    ...record,
    outcome: { ...record.outcome, comeback, ...(damage && { damage }) },
  }));
}

async function following(
  db: Pick<Database, 'sql'>,
  shopId: string,
  ref: string,
  why: Why<'check' | 'comeback'>,
  add: (record: FinishedJob) => FinishedJob,
): Promise<FollowedUp> {
  try {
    return await inShop(db, shopId, (tx) => followUp(tx, ref, why, add));
  } catch (error) {
    if (error instanceof Refused) return { faults: error.faults };
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

function withChecks(record: FinishedJob, more: readonly DryingCheck[]): FinishedJob {
  const all = [...(record.drying?.checks ?? []), ...more];
  const contradictions = checkContradictions(all);
  if (contradictions.length > 0) throw new Refused(contradictions);
  const checks = sortedChecks(all);
  if (checks.length > mostChecks)
    throw new Refused([faultSaying(['drying', 'checks'], `a record holds at most ${mostChecks} drying checks`)]);
  return { ...record, drying: { ...record.drying, checks } };
}
