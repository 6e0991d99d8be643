import type { FinishedJob } from '../domain/record.ts';

const yearMs = 365.25 * 24 * 3_600_000;

/** Whether a job was finished in the year before: what a shop does now, rather than all that it ever did. */
export function inLastYear(now: Date): (job: Pick<FinishedJob, 'finishedAt'>) => boolean {
  const since = now.getTime() - yearMs;
  return ({ finishedAt }) => Date.parse(finishedAt) >= since;
}

/** Those finished in the last year; all of them where none was. */
export function ofLastYear<R extends { readonly finishedAt: string }>(records: readonly R[], now: Date): readonly R[] {
  const recent = records.filter(inLastYear(now));
  return recent.length > 0 ? recent : records;
}
