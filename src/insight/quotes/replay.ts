import { roundMoney } from '../../domain/money.ts';
import type { ShopSettings } from '../../domain/shop-settings.ts';
import { quantiles } from '../../inference/quantile.ts';
import { plannedWork, type ShopNow } from '../../models/estimate/planned-work.ts';
import { simulateHours } from '../../models/estimate/simulate-job.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { plannedFromRecord } from '../planned-from-record.ts';
import type { QuotedJob } from './overruns.ts';

/** Quotes beside those that the fit would have given, job by job, in sums that add up. */
export interface Replay {
  readonly jobs: number;
  readonly ofQuotedJobs: number;
  readonly asQuoted: QuotedSums;
  readonly asEstimated: QuotedSums;
  /** Money that the estimated hours would have brought beyond those quoted, at the shop's rate. */
  readonly difference: number;
  readonly currency: string;
  /** Where no fit is in use that has read a job, the rules of thumb answer. */
  readonly by: 'fit' | 'rules of thumb';
  readonly note: string;
}

export interface QuotedSums {
  readonly over: number;
  readonly quotedMinutes: number;
  readonly takenMinutes: number;
  readonly gapMinutes: number;
  /** Quoted hours less hours taken, in money: negative was given away. */
  readonly money: number;
}

const mostJobs = 80;
const nDraws = 200;
const notes = {
  fit: 'The fit has seen these jobs, so it does a little better here than it will tomorrow; GET /v1/reports/track-record tells how it does on jobs it had not seen.',
  'rules of thumb': 'No fit is in use: these are the rules of thumb, which have seen none of these jobs.',
};

/** What would have happened had these jobs been quoted from the present fit at the chosen risk; at most 80 of them, evenly taken. */
export function replayQuotes(
  fit: ShopFit,
  quoted: readonly QuotedJob[],
  shop: ShopNow,
  settings: ShopSettings,
  risk: number,
): Replay {
  const step = Math.max(1, quoted.length / mostJobs);
  const jobs = Array.from({ length: Math.min(quoted.length, mostJobs) }, (_, i) => quoted[Math.floor(i * step)]);
  const estimated = jobs.map(({ job }) => {
    const { labourHours } = simulateHours(fit, plannedWork(fit, plannedFromRecord(job), shop), nDraws);
    return quantiles(labourHours, [1 - risk])[0];
  });
  const by = fit.nJobs > 0 ? 'fit' : 'rules of thumb';
  const asQuoted = sums(
    jobs,
    jobs.map(({ quotedHours }) => quotedHours),
    settings,
  );
  const asEstimated = sums(jobs, estimated, settings);
  return {
    jobs: jobs.length,
    ofQuotedJobs: quoted.length,
    asQuoted,
    asEstimated,
    difference: roundMoney(asEstimated.money - asQuoted.money, settings.currency),
    currency: settings.currency,
    by,
    note: notes[by],
  };
}

/** Each job is rounded to the minute and the coin before it is added: the sum is that of what is shown. */
function sums(
  jobs: readonly QuotedJob[],
  hours: readonly number[],
  { labourRate, currency }: ShopSettings,
): QuotedSums {
  let [over, quotedMinutes, takenMinutes, money] = [0, 0, 0, 0];
  jobs.forEach((job, i) => {
    const quoted = Math.round(60 * hours[i]);
    const taken = Math.round(60 * job.hours);
    over += taken > quoted ? 1 : 0;
    quotedMinutes += quoted;
    takenMinutes += taken;
    money += roundMoney(((quoted - taken) / 60) * labourRate, currency);
  });
  return {
    over,
    quotedMinutes,
    takenMinutes,
    gapMinutes: quotedMinutes - takenMinutes,
    money: roundMoney(money, currency),
  };
}
