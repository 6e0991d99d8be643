import type { FinishedJob } from '../domain/record.ts';
import { type GivenEstimate, readGiven } from '../insight/given-estimate.ts';
import { plannedFromRecord } from '../insight/planned-from-record.ts';
import type { DryingAfterWork } from '../models/drying-after-work.ts';
import type { EstimateMaker } from './estimate-maker.ts';

/**
 * What a job like this one takes, as the present fit has it; nothing is stored. Undefined where the plan behind it would
 * not be taken today: a page does not fail for want of a forecast.
 */
export async function forecastLike(
  estimates: EstimateMaker,
  shopId: string,
  job: FinishedJob,
): Promise<GivenEstimate | undefined> {
  const { startAt: _, ...plan } = plannedFromRecord(job);
  const made = await estimates.draft(shopId, plan, JSON.stringify(plan));
  return made.ok ? readGiven(made.value.answer) : undefined;
}

/** Beyond these hours after the work a forecast of its drying is of no use. */
const forecastHours = 48;

/** When jobs recorded lately may be dry, by their numbers. */
export function dryingForecasts(
  estimates: EstimateMaker,
  shopId: string,
  jobs: readonly FinishedJob[],
  now: Date,
): Promise<ReadonlyMap<string, DryingAfterWork>> {
  const since = ({ finishedAt }: FinishedJob) => (now.getTime() - Date.parse(finishedAt)) / 3_600_000;
  return estimates.drying(
    shopId,
    jobs.filter((job) => since(job) < forecastHours),
  );
}
