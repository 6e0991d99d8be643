import type { FinishedJob } from '../../domain/record.ts';
import { betaQuantile } from '../../inference/beta.ts';

/** A share of jobs with its 90 % range; few jobs are pulled towards the shop's own rate. */
export interface Rate {
  readonly jobs: number;
  readonly cases: number;
  readonly share: number;
  readonly p05: number;
  readonly p95: number;
}

/** Pseudo-jobs at the overall rate behind each group, and a half case so that a shop without any is not certain of none. */
const pseudoJobs = 20;

/** Comebacks that water left in can cause. */
export function isWaterComeback({ outcome }: FinishedJob): boolean {
  const comeback = outcome?.comeback;
  return comeback === 'wick-back' || comeback === 'odour' || comeback === 'still-damp' || comeback === 'ring';
}

export function comebackRate(jobs: readonly FinishedJob[], all: readonly FinishedJob[]): Rate {
  const cases = jobs.filter(isWaterComeback).length;
  const overall = (all.filter(isWaterComeback).length + 0.5) / (all.length + pseudoJobs);
  const a = cases + pseudoJobs * overall;
  const b = jobs.length - cases + pseudoJobs * (1 - overall);
  return {
    jobs: jobs.length,
    cases,
    share: a / (a + b),
    p05: betaQuantile(0.05, a, b),
    p95: betaQuantile(0.95, a, b),
  };
}
