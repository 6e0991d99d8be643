import type { FinishedJob } from '../domain/record.ts';

const yearMs = 365.25 * 24 * 3_600_000;

/** Whether a job was finished in the year before: what a shop does now, rather than all that it ever did. */
export function inLastYear(now: Date): (job: Pick<FinishedJob, 'finishedAt'>) => boolean {
  const since = now.getTime() - yearMs;
  return ({ finishedAt }) => Date.parse(finishedAt) >= since;
}
