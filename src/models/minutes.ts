import type { FinishedJob } from '../domain/record.ts';
import { coarsestStep } from './reading-steps.ts';

/** Steps that people write their minutes in, coarse to fine. Nobody knows a job's time better than the last. Common practice, no source. */
const steps = [60, 30, 20, 15, 10, 5] as const;
const finestStep = 5;
/** Three jobs in whole hours are chance in one of 1,700 shops that write to five minutes; one or two are no sign of anything. */
const fewest = 3;

/**
 * What writing minutes to a step adds to the error of a job's log hours, as a standard deviation: that of an even spread over one step,
 * against the shop's middle job. One number for all jobs keeps the curvature of the t errors the same for every row.
 *
 * Jobs that all say the same tell of the step, not of a shop without any spread.
 */
export function minutesReadingSd(records: readonly FinishedJob[]): number {
  const written = records
    .flatMap(({ labour }) => labour.map(({ minutes }) => minutes))
    .filter((minutes) => minutes > 0);
  const totals = records.map(({ labour }) => labour.reduce((sum, { minutes }) => sum + minutes, 0));
  const worked = totals.filter((minutes) => minutes > 0).sort((a, b) => a - b);
  if (worked.length === 0) return 0;
  const step = written.length < fewest ? finestStep : (coarsestStep(written, steps) ?? finestStep);
  return step / Math.sqrt(12) / worked[Math.floor(worked.length / 2)];
}
