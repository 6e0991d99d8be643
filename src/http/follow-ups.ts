import { addedContradictions, sortedChecks } from '../domain/drying-checks.ts';
import { type Fault, faultSaying } from '../domain/faults.ts';
import type { DryingCheck, FinishedJob } from '../domain/record.ts';
import { checksAhead } from '../domain/record-rules.ts';
import type { Comeback, Damage } from '../domain/vocabulary.ts';
import { type Changed, followUp, type Why } from '../store/records.ts';
import { inShop } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';

/** What became of something learnt after the work; faults where it does not go with the record, which is left as it was. */
export type FollowedUp = Changed | { readonly outcome: 'missing' } | { readonly faults: readonly Fault[] };

export const mostChecks = 50;

/** What is learnt of a job after the work. */
export interface Learnt {
  /** One, or a list: its faults are named by where they stand in it. */
  readonly checks?: DryingCheck | readonly DryingCheck[] | undefined;
  readonly outcome?: { readonly comeback: Comeback; readonly damage?: Damage | undefined } | undefined;
}

/** Adds to a record what was learnt after the work, all of it or nothing; `by` is a person or a key. */
export async function addLearnt(
  { db, now }: Pick<AppDeps, 'db' | 'now'>,
  shopId: string,
  ref: string,
  { checks, outcome }: Learnt,
  by: string,
): Promise<FollowedUp> {
  const steps: Step[] = [];
  if (checks) steps.push(['check', (record) => withChecks(record, checks, now())]);
  if (outcome) steps.push(['comeback', (record) => withOutcome(record, outcome)]);
  try {
    return await inShop(db, shopId, async (tx) => {
      let result: FollowedUp = { outcome: 'missing' };
      for (const [reason, add] of steps) result = await followUp(tx, ref, { reason, by }, add);
      return result;
    });
  } catch (error) {
    if (error instanceof Refused) return { faults: error.faults };
    throw error;
  }
}

/** Each leaves a version of its own behind. */
type Step = readonly [Why<'check' | 'comeback'>['reason'], (record: FinishedJob) => FinishedJob];

/** Rolls back a follow-up that does not go with the record. */
class Refused extends Error {
  readonly faults: readonly Fault[];

  constructor(faults: readonly Fault[]) {
    super('the follow-up does not go with the record');
    this.faults = faults;
  }
}

function withChecks(record: FinishedJob, sent: NonNullable<Learnt['checks']>, now: Date): FinishedJob {
  const more = [sent].flat();
  const at = (index: number) => (Array.isArray(sent) ? [index] : []);
  const there = record.drying?.checks ?? [];
  const faults = [...checksAhead(more, record.finishedAt, now, at), ...addedContradictions(more, there, at)];
  if (faults.length > 0) throw new Refused(faults);
  const checks = sortedChecks([...there, ...more]);
  if (checks.length > mostChecks)
    throw new Refused([faultSaying([], `a record holds at most ${mostChecks} drying checks`)]);
  return { ...record, drying: { ...record.drying, checks } };
}

function withOutcome(record: FinishedJob, { comeback, damage }: NonNullable<Learnt['outcome']>): FinishedJob {
  return { ...record, outcome: { ...record.outcome, comeback, ...(damage && { damage }) } };
}
