import type { ModelName } from '../../domain/doubts.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { pinballLoss } from '../../inference/scores.ts';
import { centralCoverage, expectedNormalScore } from '../../inference/scores-calibration.ts';
import { plannedWork, type ShopNow } from '../../models/estimate/planned-work.ts';
import { simulateJob } from '../../models/estimate/simulate-job.ts';
import { modelNames, type ShopFit } from '../../models/shop-fit.ts';
import { plannedFromRecord } from '../planned-from-record.ts';
import { ensemble, type Forecast, type JobForecast, meanAtOrBelow } from './forecast.ts';
import { countedPasses, type Outcome, outcomesOf } from './outcomes.ts';

/** How one forecast did on what came of one job: a proper score, less is better, and how much of the outcome lay inside its central ranges. */
export interface JobScore {
  readonly score: number;
  readonly inside50: number;
  readonly inside80: number;
  readonly inside90: number;
  /** Pinball loss of the 80 % quantile, the one that quotes are made from; NaN where the outcome is not known exactly. */
  readonly pinball80: number;
  /** What came less the forecast's mean, in the figure's units, zero on average where forecasts are right, however skewed; NaN likewise. */
  readonly error: number;
  /** How far what came lay from the forecast's median (of passes its mean), of every section for itself. */
  readonly miss: number;
  /** How far what came lay from the forecast, to be averaged over jobs: of passes in passes, else on the log scale. Zero on average where forecasts are right. */
  readonly residual: number;
}

/** One score a model; none where nothing came of the job, or nothing was forecast of it. */
type JobScores = Partial<Readonly<Record<ModelName, JobScore>>>;

/** Enough for a score's noise to vanish among that of the outcomes. */
const scoringDraws = 300;

/** Forecasts a finished job from a fit that may not have seen it, and scores what came. Hours, L/m², passes in their own units. */
export function scoreJob(fit: ShopFit, job: FinishedJob, shop: ShopNow): JobScores {
  return scoreOutcomes(outcomesOf(fit, job), forecastJob(fit, job, shop));
}

/** What the fit says of the job as it stood before the work. */
export function forecastJob(fit: ShopFit, job: FinishedJob, shop: ShopNow): JobForecast {
  const draws = simulateJob(fit, plannedWork(fit, plannedFromRecord(job), shop), scoringDraws);
  return {
    passes: draws.passes.map(({ made }) => ensemble(made)),
    hours: ensemble(draws.labourHours),
    litres: ensemble(isReadBySection(job) ? draws.extractedLPerM2 : draws.tanksLPerM2),
    dryHours: ensemble(draws.dryHours),
  };
}

/** Each section for itself, so that what is lost on the way to the tanks is in none of the readings. */
function isReadBySection({ sections }: FinishedJob): boolean {
  return sections.every(
    ({ method, sprayedLitres, recoveredLitres }) =>
      method === 'spot' || (sprayedLitres !== undefined && recoveredLitres !== undefined),
  );
}

/** The sections of a job share its day, its people and its machine: their mean counts as one outcome. */
export function scoreOutcomes(outcomes: readonly Outcome[], forecast: Partial<JobForecast>): JobScores {
  const scores: Partial<Record<ModelName, JobScore>> = {};
  for (const model of modelNames) {
    const own = outcomes.filter((outcome) => outcome.model === model);
    const each = own.flatMap((outcome) => {
      const forecastOfIt = outcome.ofJob(forecast);
      return forecastOfIt === undefined ? [] : [scoreOutcome(outcome, forecastOfIt)];
    });
    if (each.length > 0 && each.length === own.length) scores[model] = meanScore(each);
  }
  return scores;
}

function scoreOutcome(outcome: Outcome, forecast: Forecast): JobScore {
  const [below, above] = endsOf(outcome, forecast);
  const exact = outcome.value ?? Number.NaN;
  const isCount = outcome.model === 'passes';
  const error = exact - (isCount ? meanCount(forecast) : forecast.mean());
  return {
    score: outcome.score(forecast),
    inside50: centralCoverage(below, above, 0.5),
    inside80: centralCoverage(below, above, 0.8),
    inside90: centralCoverage(below, above, 0.9),
    pinball80: pinballLoss(exact, forecast.quantile(0.8), 0.8),
    error,
    miss: isCount ? Math.abs(error) : Math.abs(exact - forecast.quantile(0.5)),
    residual: isCount ? error : logResidual(outcome, forecast),
  };
}

/**
 * The forecast's distribution function just below what came and at it. Of the difference of two readings that is the forecast's of what is read: as
 * the tanks may stand anywhere between two marks, its means over the step on either side of the value.
 *
 * **Checked** tests/insight/scoring.test.ts
 */
function endsOf({ from, to, value, offBy }: Outcome, forecast: Forecast): readonly [below: number, above: number] {
  if (value === undefined || offBy === undefined) return [forecast.atOrBelow(from), forecast.atOrBelow(to)];
  return [meanAtOrBelow(forecast, value - offBy, value), meanAtOrBelow(forecast, value, value + offBy)];
}

/**
 * Of what is known to lie between two ends, where the forecast itself would expect it, as the likelihood weighs it: the logarithm of a coarse
 * reading would lie off zero on average though the forecasts are right, and jobs whose tanks say little would weigh as much as those whose say much.
 */
function logResidual({ value, from, to }: Outcome, forecast: Forecast): number {
  if (value !== undefined && value > 0 && from === to) return Math.log(value / forecast.quantile(0.5));
  const logSd = 0.5 * Math.log(forecast.quantile(upperSd) / forecast.quantile(1 - upperSd));
  return logSd * expectedNormalScore(forecast.atOrBelow(from), forecast.atOrBelow(to), outermost);
}

/** Φ(1): a normal's quantile one standard deviation up. */
const upperSd = 0.8413447460685429;
/** Where every draw lies on one side the outcome is taken to lie half a draw out. */
const outermost = 0.5 / scoringDraws;

function meanCount(forecast: Forecast): number {
  let mean = 0;
  for (let k = 0; k < countedPasses; k++) mean += 1 - forecast.atOrBelow(k);
  return mean;
}

function meanScore(scores: readonly JobScore[]): JobScore {
  if (scores.length === 1) return scores[0];
  const mean = (pick: (score: JobScore) => number) => scores.reduce((sum, one) => sum + pick(one), 0) / scores.length;
  return {
    score: mean(({ score }) => score),
    inside50: mean(({ inside50 }) => inside50),
    inside80: mean(({ inside80 }) => inside80),
    inside90: mean(({ inside90 }) => inside90),
    pinball80: mean(({ pinball80 }) => pinball80),
    error: mean(({ error }) => error),
    miss: mean(({ miss }) => miss),
    residual: mean(({ residual }) => residual),
  };
}
