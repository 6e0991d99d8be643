import type { ModelName } from '../domain/doubts.ts';
import type { FinishedJob } from '../domain/record.ts';
import { binomialPValue } from '../inference/scores-calibration.ts';
import type { ShopNow } from '../models/estimate/planned-work.ts';
import { modelNames, type ShopFit } from '../models/shop-fit.ts';
import { scoreJob } from './scoring/job-scores.ts';
import { type MonthScores, total } from './scoring/score-shop.ts';

/** Whether a fit may be used for quotes, and why not, or what is to be known of it, in words. */
export interface Verdict {
  readonly publish: boolean;
  readonly reasons: readonly string[];
  readonly notes: readonly string[];
}

const latestJobs = 80;
const fewest = 20;
const level = 0.8;
/** Of 80 % ranges that hold less often than this nothing can be kept: at 20 jobs a sound fit does so once in a thousand times. */
const collapsed = 0.5;
/** One healthy fit in a thousand would be refused by chance, were all else exact. */
const sureP = 0.001;
const sureZ = 3.1;

/**
 * Judges a fit before quotes are made from it: its ranges must hold on the shop's latest jobs, and the same way of learning must, on jobs it
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
    ...rangesThatDoNotHold(fit, records, shop),
    ...modelNames.flatMap((model) => worseThanRule(months, model)),
    ...modelNames.flatMap((model) => worseThanFormer(months, formerMonths, model)),
  ];
  const notes =
    unseen < fewest
      ? [`Only ${unseen} jobs have been forecast before they were seen: too few to judge by.`]
      : modelNames.flatMap((model) => narrowLately(months, model));
  return { publish: reasons.length === 0, reasons, notes };
}

function allFinite({ models }: ShopFit): boolean {
  return modelNames.every((name) =>
    models[name].posterior.points.every(
      ({ weight, sigma, mode, tau }) => [weight, sigma, ...mode, ...tau].every(Number.isFinite) && sigma > 0,
    ),
  );
}

/**
 * On jobs that it has seen a sound fit's ranges hold about as often as they say. Far fewer: its spread has collapsed. Somewhat fewer is what a
 * shop that has just changed looks like, and there an older fit would do no better.
 */
function rangesThatDoNotHold(fit: ShopFit, records: readonly FinishedJob[], shop: ShopNow): string[] {
  const latest = [...records].sort((a, b) => Date.parse(b.finishedAt) - Date.parse(a.finishedAt)).slice(0, latestJobs);
  const scores = latest.flatMap((job) => scoreJob(fit, job, shop));
  return modelNames.flatMap((model) => {
    const own = scores.filter((score) => score.model === model);
    const inside = Math.round(own.reduce((sum, { inside80 }) => sum + inside80, 0));
    const isLow = own.length >= fewest && inside < collapsed * own.length;
    return isLow ? [`${model}: its 80 % ranges hold only ${inside} of the latest ${own.length}`] : [];
  });
}

function worseThanRule(months: readonly MonthScores[], model: ModelName): string[] {
  const { n, gap, gapSquares, score, ruleOfThumb } = total(months, model);
  if (n < fewest || gap <= 0) return [];
  const mean = gap / n;
  const sd = Math.sqrt(Math.max(0, gapSquares / n - mean * mean));
  if (mean < (sureZ * sd) / Math.sqrt(n)) return [];
  return [
    `${model}: on ${n} jobs not seen before it was worse than the rule of thumb (${(score / n).toPrecision(3)} against ${(ruleOfThumb / n).toPrecision(3)}, less is better)`,
  ];
}

/** Month by month against the same months as the former fit's run scored them: they differ where rules, records or the program changed. */
function worseThanFormer(months: readonly MonthScores[], former: readonly MonthScores[], model: ModelName): string[] {
  const gaps = months.flatMap((month) => {
    const own = month.models[model];
    const before = former.find((one) => one.month === month.month)?.models[model];
    if (before === undefined || before.n === 0 || own.n !== before.n) return [];
    return [(own.score - before.score) / own.n];
  });
  if (gaps.length < 4) return [];
  const mean = gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length;
  const sd = Math.sqrt(gaps.reduce((sum, gap) => sum + (gap - mean) ** 2, 0) / (gaps.length - 1));
  const scale = total(months, model).score / Math.max(1, total(months, model).n);
  // A thousandth of the score is the simulation's own noise, not a change.
  if (mean < 0.001 * scale || mean < (sureZ * sd) / Math.sqrt(gaps.length)) return [];
  return [`${model}: over ${gaps.length} months it was worse than the fit it would replace`];
}

/** Ranges that stopped holding in the latest three months are said, not refused: an older fit would do no better. */
function narrowLately(months: readonly MonthScores[], model: ModelName): string[] {
  const { n, inside80 } = total(months.slice(-3), model);
  const inside = Math.round(inside80);
  if (n < fewest || inside >= level * n || binomialPValue(inside, n, level) >= sureP) return [];
  return [
    `${model}: in the last three months only ${inside} of ${n} came inside the 80 % range: something may have changed.`,
  ];
}
