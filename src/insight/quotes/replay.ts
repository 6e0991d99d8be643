import { roundMoney } from '../../domain/money.ts';
import type { ShopSettings } from '../../domain/shop-settings.ts';
import { quantiles } from '../../inference/quantile.ts';
import { studentTQuantile } from '../../inference/scores-student-t.ts';
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
  /** What it may be of as many other such jobs, 8 times in 10: which jobs come is chance. Null of a single job. */
  readonly differenceRange: { readonly p10: number; readonly p90: number } | null;
  readonly currency: string;
  /** Where no fit is in use that has read a job, the rules of thumb answer. */
  readonly by: 'fit' | 'rules of thumb';
  /** Of `jobs`, those finished after the fit was made, which it cannot have seen; all of them where the rules of thumb answer. */
  readonly notSeen: number;
  readonly note: string;
}

interface QuotedSums {
  readonly over: number;
  readonly quotedMinutes: number;
  readonly takenMinutes: number;
  readonly gapMinutes: number;
  /** Quoted hours less hours taken, in money: negative was given away. */
  readonly money: number;
}

const mostJobs = 80;
const nDraws = 200;

/** What would have happened had these jobs been quoted from the present fit at the chosen risk; of at most 80 of them, the latest. */
export function replayQuotes(
  fit: ShopFit,
  quoted: readonly QuotedJob[],
  shop: ShopNow,
  settings: ShopSettings,
  risk: number,
): Replay {
  const jobs = latestOf(quoted, mostJobs);
  const estimated = jobs.map(({ job }) => {
    const { labourHours } = simulateHours(fit, plannedWork(fit, plannedFromRecord(job), shop), nDraws);
    return quantiles(labourHours, [1 - risk])[0];
  });
  const by = fit.nJobs > 0 ? 'fit' : 'rules of thumb';
  const notSeen = jobs.filter(({ job }) => by === 'rules of thumb' || isAfter(job.finishedAt, fit.fittedAt)).length;
  const asQuoted = sums(
    jobs,
    jobs.map(({ quotedHours }) => quotedHours),
    settings,
  );
  const asEstimated = sums(jobs, estimated, settings);
  const difference = roundMoney(asEstimated.money - asQuoted.money, settings.currency);
  return {
    jobs: jobs.length,
    ofQuotedJobs: quoted.length,
    asQuoted,
    asEstimated,
    difference,
    differenceRange: rangeAbout(
      difference,
      jobs.map(({ quotedHours }, i) => (estimated[i] - quotedHours) * settings.labourRate),
      settings.currency,
    ),
    currency: settings.currency,
    by,
    notSeen,
    note: noteOf(by, notSeen, jobs.length),
  };
}

function latestOf(quoted: readonly QuotedJob[], most: number): readonly QuotedJob[] {
  const finished = ({ job }: QuotedJob) => Date.parse(job.finishedAt);
  return quoted.toSorted((a, b) => finished(b) - finished(a) || (a.job.ref < b.job.ref ? -1 : 1)).slice(0, most);
}

/** By the spread between the jobs: the sum of n others lies apart from that of these n by the root of 2n, for which jobs these were is chance too. */
function rangeAbout(sum: number, money: readonly number[], currency: string): Replay['differenceRange'] {
  const n = money.length;
  if (n < 2) return null;
  const mean = money.reduce((total, one) => total + one, 0) / n;
  const squares = money.reduce((total, one) => total + (one - mean) ** 2, 0);
  const reach = studentTQuantile(0.9, n - 1) * Math.sqrt(((2 * n) / (n - 1)) * squares);
  return { p10: roundMoney(sum - reach, currency), p90: roundMoney(sum + reach, currency) };
}

function isAfter(one: string, other: string): boolean {
  return Date.parse(one) > Date.parse(other);
}

/** How far to trust the comparison: a fit does better on what it has seen, and one in use may be older than some of these jobs. */
function noteOf(by: Replay['by'], notSeen: number, jobs: number): string {
  if (by === 'rules of thumb')
    return 'No fit is in use: these are the rules of thumb, which have seen none of these jobs.';
  if (notSeen > 0 && notSeen === jobs)
    return 'The fit in use was made before these jobs were finished: it has seen none of them.';
  const seen =
    notSeen === 0
      ? 'The fit has seen these jobs, so it does a little better here'
      : `The fit in use was made before ${notSeen} of these jobs ${notSeen === 1 ? 'was' : 'were'} finished. It has seen the others, so it does a little better on those`;
  return `${seen} than it will tomorrow; GET /v1/reports/track-record tells how it does on jobs it had not seen.`;
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
