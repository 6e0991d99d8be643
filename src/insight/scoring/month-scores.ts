import type { ModelName } from '../../domain/doubts.ts';
import { modelNames } from '../../models/shop-fit.ts';
import type { OutcomeScore } from './job-scores.ts';

/** One model's forecasts of one month, on jobs that the fit had not seen. Sums over outcomes, so that months can be added. */
export interface ModelMonth {
  readonly n: number;
  readonly score: number;
  readonly ruleOfThumb: number;
  /** Sum and sum of squares of score less rule of thumb, outcome by outcome: what a paired test needs. */
  readonly gap: number;
  readonly gapSquares: number;
  /** The shop's mean and spread by soil level, least squares on the same terms, and the own score on the same outcomes: none where too little was known. */
  readonly soilMeans: Paired;
  readonly leastSquares: Paired;
  readonly inside50: number;
  readonly inside80: number;
  readonly inside90: number;
  /** Pinball loss of the 80 % quantile, own and the rule of thumb's, and what came less what was forecast; over `nExact` outcomes known exactly. */
  readonly pinball80: number;
  readonly pinball80RuleOfThumb: number;
  readonly error: number;
  readonly nExact: number;
  readonly logError: number;
  readonly logErrorSquares: number;
  readonly nLogErrors: number;
}

/** A yardstick's score and the own one on the outcomes that both forecast. */
export interface Paired {
  readonly n: number;
  readonly score: number;
  readonly own: number;
}

export interface MonthScores {
  /** YYYY-MM, by UTC. */
  readonly month: string;
  readonly jobsKnown: number;
  /** Jobs of the month that were forecast: all of them, or an even choice of thirty. */
  readonly jobs: number;
  /** Fingerprint of all that the month's figures are made from: the same again need not be computed again. */
  readonly basis: string;
  /** Why no forecast could be made of this month; null where it was. */
  readonly failed: string | null;
  readonly models: Readonly<Record<ModelName, ModelMonth>>;
}

const noPair: Paired = { n: 0, score: 0, own: 0 };

export const emptyMonth: ModelMonth = {
  n: 0,
  score: 0,
  ruleOfThumb: 0,
  gap: 0,
  gapSquares: 0,
  soilMeans: noPair,
  leastSquares: noPair,
  inside50: 0,
  inside80: 0,
  inside90: 0,
  pinball80: 0,
  pinball80RuleOfThumb: 0,
  error: 0,
  nExact: 0,
  logError: 0,
  logErrorSquares: 0,
  nLogErrors: 0,
};

export function emptyModels(): Record<ModelName, ModelMonth> {
  const [passes, labour, water, drying] = modelNames.map(() => emptyMonth);
  return { passes, labour, water, drying };
}

/** The scores of one outcome by all who forecast it. */
export interface OutcomeByAll {
  readonly own: OutcomeScore;
  readonly rule: OutcomeScore;
  readonly soilMeans: OutcomeScore | undefined;
  readonly leastSquares: OutcomeScore | undefined;
}

/** One outcome as a month of its own. */
export function monthOfOne({ own, rule, soilMeans, leastSquares }: OutcomeByAll): ModelMonth {
  const gap = own.score - rule.score;
  const isExact = Number.isFinite(own.error);
  const hasLog = Number.isFinite(own.logError);
  const pair = (other: OutcomeScore | undefined) =>
    other === undefined ? noPair : { n: 1, score: other.score, own: own.score };
  return {
    n: 1,
    score: own.score,
    ruleOfThumb: rule.score,
    gap,
    gapSquares: gap * gap,
    soilMeans: pair(soilMeans),
    leastSquares: pair(leastSquares),
    inside50: own.inside50,
    inside80: own.inside80,
    inside90: own.inside90,
    pinball80: isExact ? own.pinball80 : 0,
    pinball80RuleOfThumb: isExact ? rule.pinball80 : 0,
    error: isExact ? own.error : 0,
    nExact: isExact ? 1 : 0,
    logError: hasLog ? own.logError : 0,
    logErrorSquares: hasLog ? own.logError ** 2 : 0,
    nLogErrors: hasLog ? 1 : 0,
  };
}

/** Two months of one model in one. */
export function added(a: ModelMonth, b: ModelMonth): ModelMonth {
  const pair = (x: Paired, y: Paired) => ({ n: x.n + y.n, score: x.score + y.score, own: x.own + y.own });
  return {
    n: a.n + b.n,
    score: a.score + b.score,
    ruleOfThumb: a.ruleOfThumb + b.ruleOfThumb,
    gap: a.gap + b.gap,
    gapSquares: a.gapSquares + b.gapSquares,
    soilMeans: pair(a.soilMeans, b.soilMeans),
    leastSquares: pair(a.leastSquares, b.leastSquares),
    inside50: a.inside50 + b.inside50,
    inside80: a.inside80 + b.inside80,
    inside90: a.inside90 + b.inside90,
    pinball80: a.pinball80 + b.pinball80,
    pinball80RuleOfThumb: a.pinball80RuleOfThumb + b.pinball80RuleOfThumb,
    error: a.error + b.error,
    nExact: a.nExact + b.nExact,
    logError: a.logError + b.logError,
    logErrorSquares: a.logErrorSquares + b.logErrorSquares,
    nLogErrors: a.nLogErrors + b.nLogErrors,
  };
}

/** All months of one model in one. */
export function total(months: readonly MonthScores[], model: ModelName): ModelMonth {
  return months.map(({ models }) => models[model]).reduce(added, emptyMonth);
}
