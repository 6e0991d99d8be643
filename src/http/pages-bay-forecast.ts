import type { PlannedJobInput } from '../domain/planned.ts';
import type { FinishedJob } from '../domain/record.ts';
import { type GivenEstimate, readGiven } from '../insight/given-estimate.ts';
import { plannedFromRecord } from '../insight/planned-from-record.ts';
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
  return draftOf(estimates, shopId, plan);
}

async function draftOf(estimates: EstimateMaker, shopId: string, plan: PlannedJobInput) {
  const made = await estimates.draft(shopId, plan, JSON.stringify(plan));
  return made.ok ? readGiven(made.value.answer) : undefined;
}

/** Beyond these hours after the work a forecast of its drying is of no use. */
const forecastHours = 48;

/** Of a job that was recorded just now: when it may be dry, as long as nobody has checked, which says more. */
export async function dryingForecast(
  estimates: EstimateMaker,
  shopId: string,
  job: FinishedJob | undefined,
  now: Date,
): Promise<GivenEstimate | undefined> {
  if (!job || (job.drying?.checks.length ?? 0) > 0) return undefined;
  const since = (now.getTime() - Date.parse(job.finishedAt)) / 3_600_000;
  // When the work ended is known here: how much of the drying falls into the night hangs on it.
  return since < forecastHours ? draftOf(estimates, shopId, plannedFromRecord(job)) : undefined;
}
