import type { ModelName } from '../../domain/doubts.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { pinballLoss } from '../../inference/scores.ts';
import { centralCoverage } from '../../inference/scores-calibration.ts';
import { type Look, sequentialBrierScore } from '../../inference/scores-censored.ts';
import { plannedWork, type ShopNow } from '../../models/estimate/planned-work.ts';
import { simulateJob } from '../../models/estimate/simulate-job.ts';
import { jobReadings } from '../../models/readings.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { doneSections, totalSurfaceM2 } from '../../models/work-section.ts';
import { plannedFromRecord } from '../planned-from-record.ts';
import { actualHours } from '../quotes/kinds.ts';
import { ensemble, type Forecast, type JobForecast } from './forecast.ts';

/** How one forecast did on one outcome: proper scores, less is better, and how much of the outcome lay inside its central ranges. */
export interface OutcomeScore {
  readonly model: ModelName;
  readonly score: number;
  readonly inside50: number;
  readonly inside80: number;
  readonly inside90: number;
  /** Pinball loss of the 80 % quantile, the one that quotes are made from; NaN where the outcome is not known exactly. */
  readonly pinball80: number;
  /** What came less the forecast's median (of passes its mean), in the figure's units; NaN likewise. */
  readonly error: number;
  /** Log of what came over the forecast's median; NaN likewise, and for passes. */
  readonly logError: number;
}

/** Something that came of a job, and the forecast of it among those of the job. */
export interface Outcome {
  readonly model: ModelName;
  readonly ofJob: (forecast: Partial<JobForecast>) => Forecast | undefined;
  /** Known to lie above `from` and at or below `to`; equal where it is exact. */
  readonly from: number;
  readonly to: number;
  /** The section that it is of; absent where it is the job's. */
  readonly section?: number;
  /** Undefined where only the interval is known. */
  readonly value: number | undefined;
  readonly score: (forecast: Forecast) => number;
}

/** Enough for a score's noise to vanish among that of the outcomes. */
export const scoringDraws = 300;
const countedPasses = 12;

/** Forecasts a finished job from a fit that may not have seen it, and scores what came. Hours, L/m², passes in their own units. */
export function scoreJob(fit: ShopFit, job: FinishedJob, shop: ShopNow): readonly OutcomeScore[] {
  return scoreOutcomes(outcomesOf(fit, job), forecastJob(fit, job, shop)).filter((score) => score !== undefined);
}

/** What the fit says of the job as it stood before the work. */
export function forecastJob(fit: ShopFit, job: FinishedJob, shop: ShopNow): JobForecast {
  const draws = simulateJob(fit, plannedWork(fit, plannedFromRecord(job), shop), scoringDraws);
  return {
    passes: draws.passes.map(({ made }) => ensemble(made)),
    hours: ensemble(draws.labourHours),
    litres: ensemble(draws.measuredLPerM2),
    dryHours: ensemble(draws.dryHours),
  };
}

/** All that came of a job and can be scored. How surfaces and tanks are read is the fit's, so that every forecast meets the same outcomes. */
export function outcomesOf(fit: ShopFit, job: FinishedJob): readonly Outcome[] {
  return [...passesOutcomes(job), hoursOutcome(job), ...litresOutcome(fit, job), ...dryingOutcome(job)];
}

/** One score an outcome; undefined where nothing was forecast of it. */
export function scoreOutcomes(
  outcomes: readonly Outcome[],
  forecast: Partial<JobForecast>,
): readonly (OutcomeScore | undefined)[] {
  return outcomes.map((outcome) => {
    const own = outcome.ofJob(forecast);
    return own && scoreOutcome(outcome, own);
  });
}

function scoreOutcome({ model, from, to, value, score }: Outcome, forecast: Forecast): OutcomeScore {
  const [below, above] = [forecast.atOrBelow(from), forecast.atOrBelow(to)];
  const exact = value ?? Number.NaN;
  const middle = model === 'passes' ? meanCount(forecast) : forecast.quantile(0.5);
  return {
    model,
    score: score(forecast),
    inside50: centralCoverage(below, above, 0.5),
    inside80: centralCoverage(below, above, 0.8),
    inside90: centralCoverage(below, above, 0.9),
    pinball80: pinballLoss(exact, forecast.quantile(0.8), 0.8),
    error: exact - middle,
    logError: model === 'passes' ? Number.NaN : Math.log(exact / middle),
  };
}

/** Passes made of every section: the forecast holds giving up too, so that how it ended is no reason to leave a section out. */
function passesOutcomes({ sections }: FinishedJob): readonly Outcome[] {
  return sections.flatMap(({ wetPasses: made }, s) => {
    if (made < 1 || made > countedPasses) return [];
    const score = (forecast: Forecast) => rankedScore(forecast, made);
    return [
      {
        model: 'passes' as const,
        ofJob: ({ passes }) => passes?.[s],
        section: s,
        from: made - 1,
        to: made,
        value: made,
        score,
      },
    ];
  });
}

/** Ranked probability score over counts: the CRPS of whole numbers. */
function rankedScore(forecast: Forecast, made: number): number {
  let sum = 0;
  for (let k = 1; k < countedPasses; k++) sum += (forecast.atOrBelow(k) - (made <= k ? 1 : 0)) ** 2;
  return sum;
}

function meanCount(forecast: Forecast): number {
  let mean = 0;
  for (let k = 0; k < countedPasses; k++) mean += 1 - forecast.atOrBelow(k);
  return mean;
}

function hoursOutcome(job: FinishedJob): Outcome {
  const hours = actualHours(job);
  const score = (forecast: Forecast) => forecast.crps(hours);
  return { model: 'labour', ofJob: (forecast) => forecast.hours, from: hours, to: hours, value: hours, score };
}

/** Known to a step of the tank either way, as the middle of which it is scored. */
function litresOutcome(fit: ShopFit, job: FinishedJob): readonly Outcome[] {
  const { readings } = jobReadings(job, doneSections(job, fit.surfaceRatios));
  const [reading] = readings;
  if (readings.length !== 1 || reading.litresLeft <= 0) return [];
  const surfaceM2 = totalSurfaceM2(reading.sections);
  const value = reading.litresLeft / surfaceM2;
  const step = fit.readingStepL / surfaceM2;
  const [from, to] = [Math.max(0, value - step), value + step];
  return [
    { model: 'water', ofJob: ({ litres }) => litres, from, to, value, score: (forecast) => forecast.crps(value) },
  ];
}

function dryingOutcome({ drying }: FinishedJob): readonly Outcome[] {
  const checks = [...(drying?.checks ?? [])].sort((a, b) => a.hours - b.hours);
  if (checks.length === 0) return [];
  const firstDry = checks.findIndex(({ dry }) => dry);
  const told = firstDry < 0 ? checks : checks.slice(0, firstDry + 1);
  const from = told.filter(({ dry }) => !dry).at(-1)?.hours ?? 0;
  const to = firstDry < 0 ? Number.POSITIVE_INFINITY : checks[firstDry].hours;
  const score = (forecast: Forecast) =>
    sequentialBrierScore(told.map(({ hours, dry }): Look => ({ forecast: forecast.atOrBelow(hours), happened: dry })));
  return [{ model: 'drying', ofJob: ({ dryHours }) => dryHours, from, to, value: undefined, score }];
}
