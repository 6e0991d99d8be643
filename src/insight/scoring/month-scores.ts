import type { ModelName } from '../../domain/doubts.ts';
import type { EvidenceShares } from '../../models/estimate/evidence.ts';
import { modelNames } from '../../models/shop-fit.ts';
import type { JobScore } from './job-scores.ts';

/** One model's forecasts of one month, on jobs that the fit had not seen. Sums over jobs, so that months can be added. */
export interface ModelMonth {
  readonly n: number;
  readonly score: number;
  readonly ruleOfThumb: Paired;
  /** The shop's mean and spread by soil level, and least squares on the same terms: no pair where too little was known. */
  readonly soilMeans: Paired;
  readonly leastSquares: Paired;
  readonly inside50: number;
  readonly inside80: number;
  readonly inside90: number;
  /**
   * Over the `nExact` jobs whose outcome is known exactly: pinball loss of the 80 % quantile, and by how much what came missed the forecast's
   * middle, own and the rule of thumb's; `error` is with its sign, what came less what was forecast.
   */
  readonly nExact: number;
  readonly pinball80: number;
  readonly pinball80RuleOfThumb: number;
  readonly miss: number;
  readonly missRuleOfThumb: number;
  readonly error: number;
  readonly residual: number;
  readonly residualSquares: number;
}

/** The own score and another's on the jobs that both forecast, and what the noise of their difference needs. */
export interface Paired {
  readonly n: number;
  readonly own: number;
  readonly other: number;
  /** Sum of the squares of own less other, job by job. */
  readonly gapSquares: number;
}

export interface MonthScores {
  /** YYYY-MM, by UTC. */
  readonly month: string;
  readonly jobsKnown: number;
  /** Jobs of the month that were forecast: all of them, or an even choice. */
  readonly jobs: number;
  /** Fingerprint of all that the month's figures are made from: the same again need not be computed again. */
  readonly basis: string;
  /** Why no forecast could be made of this month; null where it was. */
  readonly failed: string | null;
  readonly models: Readonly<Record<ModelName, ModelMonth>>;
  /** How much of a usual job's figures was the shop's own at the month's start; absent where none could be made or it was not kept yet. */
  readonly evidence?: EvidenceShares;
}

const noPair: Paired = { n: 0, own: 0, other: 0, gapSquares: 0 };

export const emptyMonth: ModelMonth = {
  n: 0,
  score: 0,
  ruleOfThumb: noPair,
  soilMeans: noPair,
  leastSquares: noPair,
  inside50: 0,
  inside80: 0,
  inside90: 0,
  nExact: 0,
  pinball80: 0,
  pinball80RuleOfThumb: 0,
  miss: 0,
  missRuleOfThumb: 0,
  error: 0,
  residual: 0,
  residualSquares: 0,
};

export function emptyModels(): Record<ModelName, ModelMonth> {
  const [passes, labour, water, drying] = modelNames.map(() => emptyMonth);
  return { passes, labour, water, drying };
}

/** The scores of what came of one job, by all who forecast it. */
interface ScoresByAll {
  readonly own: JobScore;
  readonly rule: JobScore;
  readonly soilMeans: JobScore | undefined;
  readonly leastSquares: JobScore | undefined;
}

/** One job as a month of its own. */
export function monthOfOne({ own, rule, soilMeans, leastSquares }: ScoresByAll): ModelMonth {
  const isExact = Number.isFinite(own.error);
  return {
    n: 1,
    score: own.score,
    ruleOfThumb: pairOf(own, rule),
    soilMeans: pairOf(own, soilMeans),
    leastSquares: pairOf(own, leastSquares),
    inside50: own.inside50,
    inside80: own.inside80,
    inside90: own.inside90,
    nExact: isExact ? 1 : 0,
    pinball80: isExact ? own.pinball80 : 0,
    pinball80RuleOfThumb: isExact ? rule.pinball80 : 0,
    miss: isExact ? own.miss : 0,
    missRuleOfThumb: isExact ? rule.miss : 0,
    error: isExact ? own.error : 0,
    residual: own.residual,
    residualSquares: own.residual ** 2,
  };
}

function pairOf(own: JobScore, other: JobScore | undefined): Paired {
  if (other === undefined) return noPair;
  return { n: 1, own: own.score, other: other.score, gapSquares: (own.score - other.score) ** 2 };
}

/** Two months of one model in one. */
export function added(a: ModelMonth, b: ModelMonth): ModelMonth {
  return {
    n: a.n + b.n,
    score: a.score + b.score,
    ruleOfThumb: addedPairs(a.ruleOfThumb, b.ruleOfThumb),
    soilMeans: addedPairs(a.soilMeans, b.soilMeans),
    leastSquares: addedPairs(a.leastSquares, b.leastSquares),
    inside50: a.inside50 + b.inside50,
    inside80: a.inside80 + b.inside80,
    inside90: a.inside90 + b.inside90,
    nExact: a.nExact + b.nExact,
    pinball80: a.pinball80 + b.pinball80,
    pinball80RuleOfThumb: a.pinball80RuleOfThumb + b.pinball80RuleOfThumb,
    miss: a.miss + b.miss,
    missRuleOfThumb: a.missRuleOfThumb + b.missRuleOfThumb,
    error: a.error + b.error,
    residual: a.residual + b.residual,
    residualSquares: a.residualSquares + b.residualSquares,
  };
}

function addedPairs(a: Paired, b: Paired): Paired {
  return { n: a.n + b.n, own: a.own + b.own, other: a.other + b.other, gapSquares: a.gapSquares + b.gapSquares };
}

/** All months of one model in one. */
export function total(months: readonly MonthScores[], model: ModelName): ModelMonth {
  return months.map(({ models }) => models[model]).reduce(added, emptyMonth);
}

/** Mean of own less other, and its standard error: a paired comparison. NaN where there are fewer than two jobs. */
export function meanGap({ n, own, other, gapSquares }: Paired): { readonly mean: number; readonly se: number } {
  const mean = (own - other) / n;
  const variance = Math.max(0, gapSquares - n * mean * mean) / (n - 1);
  return { mean, se: Math.sqrt(variance / n) };
}
