import type { ModelName } from '../domain/doubts.ts';
import type { FinishedJob } from '../domain/record.ts';
import { binomialPValue } from '../inference/scores-calibration.ts';
import { studentTProbability } from '../inference/scores-student-t.ts';
import type { ShopNow } from '../models/estimate/planned-work.ts';
import { evenly } from '../models/evenly.ts';
import { modelNames, type ShopFit } from '../models/shop-fit.ts';
import { scoreJob } from './scoring/job-scores.ts';
import { type MonthScores, meanGap, total } from './scoring/month-scores.ts';
import { unreadOf } from './scoring/unread.ts';

/** Whether a fit may be used for quotes, and why not, or what is to be known of it, in words. */
export interface Verdict {
  readonly publish: boolean;
  readonly reasons: readonly string[];
  readonly notes: readonly string[];
}

/** Enough jobs to see ranges that hold 70 times in 100 where they should 80. */
const triedJobs = 120;
const fewest = 20;
const level = 0.8;
/** Chance at which a figure of a healthy fit would speak against it, were all else exact. */
const sureP = 0.001;
const fewestMonths = 4;

/**
 * Judges a fit before quotes are made from it: its ranges must hold on the shop's own jobs, and the same way of learning must, on jobs it
 * had not seen, be no worse than the rule of thumb and no worse than what it replaces, beyond noise.
 */
export function judge(
  fit: ShopFit,
  records: readonly FinishedJob[],
  shop: ShopNow,
  months: readonly MonthScores[],
  formerMonths: readonly MonthScores[],
): Verdict {
  const unseen = total(months, 'labour').n;
  const reasons = [
    ...(allFinite(fit) ? [] : ['some of its numbers are not finite']),
    ...(hasSpread(fit) ? [] : ['one of its spreads is not above 0']),
    ...rangesThatDoNotHold(fit, records, shop),
    ...modelNames.flatMap((model) => worseThanRule(months, model)),
    ...modelNames.flatMap((model) => worseThanFormer(months, formerMonths, model)),
  ];
  const early =
    unseen < fewest
      ? [`Only ${unseen} jobs have been forecast before they were seen: too few to judge by.`]
      : modelNames.flatMap((model) => narrowLately(months, model));
  const notes = [...modelNames.flatMap((model) => standInNote(fit, model)), ...early];
  return { publish: reasons.length === 0, reasons, notes };
}

function standInNote({ models }: ShopFit, model: ModelName): string[] {
  const { standIn } = models[model];
  return standIn === undefined ? [] : [`${model}: not learnt anew, taken from ${standIn.from}: ${standIn.reason}`];
}

/** All of its numbers: one that is not could not be read back from the store. */
function allFinite(part: unknown): boolean {
  if (typeof part === 'number') return Number.isFinite(part);
  if (part instanceof Float64Array) return part.every(Number.isFinite);
  return typeof part !== 'object' || part === null || Object.values(part).every(allFinite);
}

function hasSpread({ models }: ShopFit): boolean {
  return modelNames.every((name) => models[name].posterior.points.every(({ sigma }) => sigma > 0));
}

/**
 * Over all the jobs that it has seen a sound fit's ranges hold about as often as they say: a binomial test on an even choice of them. A shop
 * that changed passes it, as the change has widened the ranges; a spread that collapsed does not.
 */
function rangesThatDoNotHold(fit: ShopFit, records: readonly FinishedJob[], shop: ShopNow): string[] {
  const byTime = [...records].sort((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt));
  const unread = unreadOf(fit);
  const byJob = evenly(byTime, triedJobs).map((job) => ({ ref: job.ref, scores: scoreJob(fit, job, shop) }));
  return modelNames.flatMap((model) => {
    const shares = byJob.flatMap(({ ref, scores }) => (unread[model].has(ref) ? [] : (scores[model]?.inside80 ?? [])));
    const inside = Math.round(shares.reduce((sum, share) => sum + share, 0));
    return isTooFew(inside, shares.length)
      ? [`${model}: its 80 % ranges hold only ${inside} of ${shares.length} jobs, evenly chosen`]
      : [];
  });
}

/** Fewer inside the 80 % range than a sound fit has once in two thousand times: the p-value counts both sides. */
function isTooFew(inside: number, n: number): boolean {
  return n >= fewest && inside < level * n && binomialPValue(inside, n, level) < sureP;
}

function worseThanRule(months: readonly MonthScores[], model: ModelName): string[] {
  const { ruleOfThumb } = total(months, model);
  const { n, own, other } = ruleOfThumb;
  const { mean, se } = meanGap(ruleOfThumb);
  if (n < fewest || !isBeyondNoise(mean, se, n)) return [];
  return [
    `${model}: on ${n} jobs not seen before it was worse than the rule of thumb (${(own / n).toPrecision(3)} against ${(other / n).toPrecision(3)}, less is better)`,
  ];
}

/**
 * Month by month against the same months as the former fit's run scored them: they differ where rules, records or the program changed, and one
 * that came out the same to the last digit says nothing. A month is one observation, whatever its jobs have in common.
 */
function worseThanFormer(months: readonly MonthScores[], former: readonly MonthScores[], model: ModelName): string[] {
  const gaps = months.flatMap((month) => {
    const own = month.models[model];
    const before = former.find((one) => one.month === month.month)?.models[model];
    if (before === undefined || before.n === 0 || own.n !== before.n || own.score === before.score) return [];
    return [(own.score - before.score) / own.n];
  });
  const n = gaps.length;
  if (n < fewestMonths) return [];
  const mean = gaps.reduce((sum, gap) => sum + gap, 0) / n;
  const variance = gaps.reduce((sum, gap) => sum + (gap - mean) ** 2, 0) / (n - 1);
  const scale = total(months, model).score / Math.max(1, total(months, model).n);
  // A thousandth of the score is the simulation's own noise, not a change.
  if (mean < 0.001 * scale || !isBeyondNoise(mean, Math.sqrt(variance / n), n)) return [];
  return [`${model}: over ${n} months it was worse than the fit it would replace`];
}

/**
 * Whether a mean gap of `n` pairs lies above zero beyond noise: Student's t at one chance in a thousand, on one side. It keeps that level where the
 * gaps spread unequally or have heavy tails too; where a few large gains stand against many small losses it is a few times as great.
 *
 * **Source** Ibragimov and Müller, J. Bus. Econ. Stat. 28 (2010) 453: the t-test on few groups of unequal spread.
 * **Checked** tests/insight/publication-noise.test.ts
 */
export function isBeyondNoise(mean: number, standardError: number, n: number): boolean {
  return mean > 0 && studentTProbability(-mean / standardError, n - 1) < sureP;
}

/** Ranges that stopped holding in the latest three months are said, not refused: an older fit would do no better. */
function narrowLately(months: readonly MonthScores[], model: ModelName): string[] {
  const { n, inside80 } = total(months.slice(-3), model);
  const inside = Math.round(inside80);
  if (!isTooFew(inside, n)) return [];
  return [
    `${model}: in the last three months only ${inside} of ${n} came inside the 80 % range: something may have changed.`,
  ];
}
