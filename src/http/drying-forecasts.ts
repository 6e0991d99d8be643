import type { FinishedJob } from '../domain/record.ts';
import type { DryingAfterWork } from '../models/drying-after-work.ts';
import type { EstimateMaker } from './estimate-maker.ts';

/** Beyond these hours after the work a forecast of its drying is of no use. */
const forecastHours = 48;

/** When those of the jobs that ended lately may be dry, by their numbers. */
export async function dryingForecasts(
  estimates: EstimateMaker,
  shopId: string,
  jobs: readonly FinishedJob[],
  now: Date,
): Promise<ReadonlyMap<string, DryingAfterWork>> {
  const since = ({ finishedAt }: FinishedJob) => (now.getTime() - Date.parse(finishedAt)) / 3_600_000;
  const lately = jobs.filter((job) => since(job) < forecastHours);
  return lately.length === 0 ? new Map() : estimates.drying(shopId, lately);
}
