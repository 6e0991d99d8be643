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
  const made = await estimates.draft(shopId, plan, JSON.stringify(plan));
  return made.ok ? readGiven(made.value.answer) : undefined;
}
