import { z } from 'zod';
import { roundMoney } from '../../domain/money.ts';
import type { ShopSettings } from '../../domain/shop-settings.ts';
import { type Grade, grades } from '../../domain/vocabulary.ts';
import { quantiles } from '../../inference/quantile.ts';
import { chanceThat, meanOf, significant } from '../../models/estimate/figure.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import type { DoneJob } from '../../models/shop-view.ts';
import { labourSpread } from '../../models/terms/labour-terms.ts';
import { inLastYear } from '../last-year.ts';
import { printed } from '../printed.ts';
import { type Range, rangeOf } from '../range.ts';
import type { ShopRecords } from '../shop-records.ts';
import { mostUsed, workMix } from './mix.ts';
import { type Purchase, paybackMonths } from './payback.ts';
import { differenceOf, hoursApart, type MachineDifference, nDraws } from './report.ts';
import { commonDraws, standardisedWork } from './standardised.ts';

/** A machine that is not owned yet, and the money around it. */
export const upgradeRequest = z
  .strictObject({
    grade: z.enum(grades).optional().describe('as the trade ranks it; else taken from suction and airflow'),
    waterLiftKpa: z.number().gt(0).max(100).optional(),
    airflowM3h: z.number().gt(0).max(10_000).optional(),
    replaces: z.string().max(64).optional().describe('the machine whose work it takes over; absent: the one used most'),
    price: z.number().min(0).max(10_000_000),
    jobsPerMonth: z
      .number()
      .gt(0)
      .max(10_000)
      .optional()
      .describe('absent: what that machine has done a month, in the year up to its last job'),
    labourRate: z
      .number()
      .min(0)
      .max(100_000)
      .optional()
      .describe('what a freed hour is worth; absent: the shop’s rate'),
    lifeMonths: z.int().min(1).max(600).default(60),
    discountPerYear: z.number().min(0).max(1).default(0),
  })
  .refine(({ grade, waterLiftKpa, airflowM3h }) => (grade ?? waterLiftKpa ?? airflowM3h) !== undefined, {
    path: ['grade'],
    message: `one of ${grades.join(', ')}, or else waterLiftKpa or airflowM3h`,
  });

export type UpgradeRequest = z.output<typeof upgradeRequest>;

/** Months to pay back; null stands for never within the machine's life. */
interface Payback {
  readonly p10: number | null;
  readonly p50: number | null;
  readonly p90: number | null;
  readonly chanceNever: number;
  /** Chance, 0 to 1, that it has paid for itself by the end of a month, over its life; at most 60 months of it, evenly taken. */
  readonly chanceBy: readonly { readonly month: number; readonly chance: number }[];
}

export interface UpgradeReport {
  readonly answer: string;
  readonly grade: Grade;
  readonly gradeFrom: 'request' | 'suction and airflow';
  readonly replaces: string;
  readonly jobsPerMonth: number;
  /** The machine's last job, where its pace is taken from its jobs and it has stood for two months; else null. */
  readonly paceUntil: string | null;
  readonly perJob: MachineDifference;
  readonly hoursSavedPerMonth: Range;
  readonly dryingHoursSavedPerMonth: Range;
  readonly savingPerMonth: Range;
  readonly currency: string;
  readonly payback: Payback;
  /** Jobs with a rented or lent one until the payback is settled either way; null where none would. */
  readonly trialJobs: number | null;
  readonly caution: string;
}

/** Of the one comparison's own noise, the same for its hours a job and a month. */
const salt = 7;
const caution =
  'A machine never used here starts from its grade, by rule of thumb: a trial says more than this page. Freed hours earn only where there is work for them.';

/** Common practice, no source: a strong single-motor extractor lifts about 25 kPa, two motors in series 35 and more. */
function gradeBySuction(waterLiftKpa: number | undefined, airflowM3h: number | undefined): Grade {
  const byLift = waterLiftKpa === undefined ? 1 : waterLiftKpa < 20 ? 0 : waterLiftKpa < 35 ? 1 : 2;
  const byFlow = airflowM3h === undefined ? byLift : airflowM3h < 120 ? 0 : airflowM3h < 300 ? 1 : 2;
  return grades[waterLiftKpa === undefined ? byFlow : Math.min(byLift, byFlow + 1)];
}

/** What a machine not owned yet would save, and when it has paid for itself. Undefined where no extracted job is recorded. */
export function upgradeReport(
  fit: ShopFit,
  shop: ShopRecords,
  now: Date,
  ask: UpgradeRequest,
  settings: ShopSettings,
): UpgradeReport | undefined {
  const mix = workMix(fit, shop, now);
  const replaced = shop.machines.find(({ key }) => key === ask.replaces) ?? mostUsed(shop, now);
  if (mix.length === 0 || replaced === undefined) return undefined;
  const grade = ask.grade ?? gradeBySuction(ask.waterLiftKpa, ask.airflowM3h);
  const draws = commonDraws(fit, nDraws);
  const work = standardisedWork(fit, mix, { key: undefined, grade, share: 1 }, draws);
  const base = standardisedWork(fit, mix, { ...replaced, share: 1 }, draws);
  const measured = ask.jobsPerMonth === undefined ? pace(shop, replaced.key, now) : undefined;
  const { jobsPerMonth, paceUntil } = measured ?? { jobsPerMonth: ask.jobsPerMonth ?? 0, paceUntil: null };
  const perJob = differenceOf(work, base, 1, salt);
  const saved = hoursApart(work, base, salt).map((hours) => -jobsPerMonth * hours);
  const rate = ask.labourRate ?? settings.labourRate;
  const money = saved.map((hours) => roundMoney(hours * rate, settings.currency));
  const months = money.map((saving) => paybackMonths(saving, ask));
  const payback = paybackOf(months, ask.lifeMonths);
  // Without what no record can tell: no trial tells it either.
  const logRatio = work.hours.map((hours, d) => Math.log(hours / base.hours[d]));
  return {
    answer: answer({ payback, hoursSavedPerMonth: rangeOf(saved), paceUntil }, ask, settings.currency),
    grade,
    gradeFrom: ask.grade === undefined ? 'suction and airflow' : 'request',
    replaces: replaced.key,
    jobsPerMonth,
    paceUntil,
    perJob,
    hoursSavedPerMonth: rangeOf(saved),
    dryingHoursSavedPerMonth: lessOf(perJob.dryHours, jobsPerMonth),
    savingPerMonth: rangeOf(money),
    currency: settings.currency,
    payback,
    trialJobs: trialJobs(
      logRatio,
      breakEvenLog(base.hours, jobsPerMonth * rate, ask),
      jobNoise(draws.labour.sigma, mix),
    ),
    caution,
  };
}

/** What a difference of so much a job saves in as many jobs. */
function lessOf({ p05, p50, p95 }: Range, jobs: number): Range {
  return { p05: significant(-jobs * p95), p50: significant(-jobs * p50), p95: significant(-jobs * p05) };
}

const monthMs = 30.44 * 86_400_000;

/**
 * Jobs a month that the machine has done in the year up to its last: an old year, or one mistyped, is not its pace. Between the first of them and
 * the last lie one fewer intervals than jobs; what has been done in less than a month is a month's.
 */
function pace({ records }: ShopRecords, key: string, now: Date): Pick<UpgradeReport, 'jobsPerMonth' | 'paceUntil'> {
  const done = records.filter(({ extractor }) => extractor === key);
  if (done.length === 0) return { jobsPerMonth: 0, paceUntil: null };
  const last = new Date(Math.max(...done.map(({ finishedAt }) => Date.parse(finishedAt))));
  const times = done.filter(inLastYear(last)).map(({ finishedAt }) => Date.parse(finishedAt));
  const months = (last.getTime() - Math.min(...times)) / monthMs;
  const jobsPerMonth = months < 1 ? times.length : (times.length - 1) / months;
  const stands = now.getTime() - last.getTime() > 2 * monthMs;
  return { jobsPerMonth: Number(jobsPerMonth.toFixed(1)), paceUntil: stands ? last.toISOString() : null };
}

function paybackOf(months: Float64Array, lifeMonths: number): Payback {
  const [p10, p50, p90] = [...months]
    .sort((a, b) => a - b)
    .filter((_, i, all) => [0.1, 0.5, 0.9].some((p) => i === Math.floor(p * (all.length - 1))));
  const finite = (value: number) => (Number.isFinite(value) ? value : null);
  return {
    p10: finite(p10),
    p50: finite(p50),
    p90: finite(p90),
    chanceNever: chanceThat(months, (value) => !Number.isFinite(value)),
    chanceBy: monthsUpTo(lifeMonths).map((month) => ({ month, chance: chanceThat(months, (value) => value <= month) })),
  };
}

/** Whole months from 0 to the last, which is among them. */
function monthsUpTo(last: number): number[] {
  const step = Math.ceil(last / 60);
  return [...Array.from({ length: Math.ceil(last / step) }, (_, i) => i * step), last];
}

/** The log ratio of hours at which the machine has just paid for itself when it is worn out. */
function breakEvenLog(
  baseHours: Float64Array,
  moneyPerHour: number,
  { price, lifeMonths, discountPerYear }: Purchase,
): number {
  const rate = (1 + discountPerYear) ** (1 / 12) - 1;
  const worth = rate === 0 ? lifeMonths : (1 - (1 + rate) ** -lifeMonths) / rate;
  const [hours] = quantiles(baseHours, [0.5]);
  const needed = moneyPerHour === 0 ? hours : price / worth / moneyPerHour;
  return Math.log(Math.max(1e-6, 1 - needed / hours));
}

/** Standard deviation of one job's log hours: a Student t of 4 degrees has √2 times its scale. */
function jobNoise(sigma: Float64Array, mix: readonly DoneJob[]): number {
  const spread2 = mix.reduce((sum, { sections }) => sum + labourSpread(sections) ** 2, 0) / mix.length;
  return Math.SQRT2 * meanOf(sigma) * Math.sqrt(spread2);
}

/** Jobs until the present best guess would lie 1.28 standard deviations from break-even: nine chances in ten for the right decision. */
function trialJobs(logRatio: Float64Array, breakEven: number, noise: number): number | null {
  const mean = meanOf(logRatio);
  const variance = meanOf(logRatio.map((value) => (value - mean) ** 2));
  const wanted = ((mean - breakEven) / 1.2816) ** 2;
  if (variance <= wanted) return 0;
  const jobs = Math.ceil(noise ** 2 * (1 / wanted - 1 / variance));
  return jobs > 500 ? null : jobs;
}

/** Would it pay, in one sentence; `price` as it is to be written. */
export function upgradeSentence(
  { payback: { p10, p50, p90, chanceNever }, hoursSavedPerMonth: saved }: Saved,
  { lifeMonths }: Pick<UpgradeRequest, 'lifeMonths'>,
  price: string,
): string {
  const hours = `frees about ${printed(saved.p50, 1)} hours a month (90 % range ${printed(saved.p05, 1)} to ${printed(saved.p95, 1)})`;
  if (p50 === null)
    return `More likely than not ${price} do not come back within ${lifeMonths} months (chance ${percent(chanceNever)}): it ${hours}.`;
  const last = p90 === null ? 'never' : String(p90);
  return `It ${hours} and has paid for itself after about ${p50} months (8 of 10: ${p10} to ${last}).`;
}

type Saved = Pick<UpgradeReport, 'payback' | 'hoursSavedPerMonth'>;

function answer(report: Saved & Pick<UpgradeReport, 'paceUntil'>, ask: UpgradeRequest, currency: string): string {
  const price = `${ask.price} ${currency}`;
  const pace = report.paceUntil === null ? '' : ` ${paceSentence(report.paceUntil.slice(0, 10))}`;
  if (report.payback.p50 === null) return upgradeSentence(report, ask, price) + pace;
  return `${upgradeSentence(report, ask, price)}${pace} The chance that ${price} do not come back within ${ask.lifeMonths} months is ${percent(report.payback.chanceNever)}.`;
}

/** Of a machine that stands: whose pace it is, for it is not today's; `last` as it is to be written. */
export function paceSentence(last: string): string {
  return `The jobs a month are those of the year up to ${last}, the last job with the extractor that it replaces.`;
}

/** Draws prove neither never nor always. */
function percent(chance: number): string {
  if (chance > 0.99) return 'more than 99 %';
  return chance < 0.01 ? 'less than 1 %' : `${Math.round(100 * chance)} %`;
}
