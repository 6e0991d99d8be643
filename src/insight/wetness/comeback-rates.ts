import type { FinishedJob } from '../../domain/record.ts';
import { betaQuantile } from '../../inference/beta.ts';
import { type ComebackTally, comebackTally, kindShare, silenceText } from '../../models/comebacks.ts';

/** A share of jobs that count with its 90 % range; whatever their work was; few jobs are held to the share of the shop's other jobs. */
export interface Rate extends ComebackTally {
  readonly share: number;
  readonly p05: number;
  readonly p95: number;
}

/** Of some of the jobs that count, and of all of them. */
export function comebackRate(jobs: readonly FinishedJob[], all: readonly FinishedJob[]): Rate {
  const tally = comebackTally(jobs);
  const { a, b } = kindShare(tally, comebackTally(all));
  return { ...tally, share: a / (a + b), p05: betaQuantile(0.05, a, b), p95: betaQuantile(0.95, a, b) };
}

/** What the shares rest on, for they are no proof of dry work where nobody notes. */
export function comebackBasis(all: readonly FinishedJob[]): string {
  const tally = comebackTally(all);
  if (tally.jobs === 0)
    return 'Of no job finished between two noted outcomes and at least four weeks ago is it known whether it came back: the shares are the rule of thumb of 3 in 100.';
  const told = `${tally.cases} of ${tally.jobs} jobs finished at least four weeks ago came back`;
  return `${[told, silenceText(tally)].filter(Boolean).join('; ')}.`;
}
