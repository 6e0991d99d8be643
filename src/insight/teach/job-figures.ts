import type { DryingAid } from '../../domain/vocabulary.ts';
import { meanSigma2 } from '../../inference/mixture-moments.ts';
import { aidOf } from '../../models/drying-air.ts';
import type { Entries } from '../../models/layout.ts';
import { latestStep } from '../../models/reading-steps.ts';
import { dryingPredictor } from '../../models/rows/drying-rows.ts';
import { meanGap, measuredEntries, ownErrorVariance } from '../../models/rows/water-rows.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import type { DoneJob, ShopView } from '../../models/shop-view.ts';
import { logVariance } from '../../models/tanks.ts';
import { sectionErrorVariance } from '../../models/terms/water-terms.ts';
import { behindWater } from '../../models/water-and-drying.ts';
import type { WaterForecast } from '../../models/water-forecast.ts';
import { type DoneSection, isExtracted, totalSurfaceM2 } from '../../models/work-section.ts';
import type { PossibleReading } from './learning.ts';

/** One job of the mix: what its two figures hang on, and what measuring it would have said; in the columns of water and drying together. */
export interface JobFigures {
  readonly done: DoneJob;
  readonly wettest: DoneSection;
  readonly water: Entries;
  readonly drying: Entries;
  /** Variance that a forecast of the figure has anyway. */
  readonly waterNoise: number;
  readonly dryingNoise: number;
  /** Where an extractor was used: its tanks, read to the shop's step. */
  readonly tanks: PossibleReading | undefined;
  readonly checks: PossibleReading;
}

/** Between the last wet check and the first dry one, at twice the hours: an even spread over log 2. */
const checksVariance = Math.log(2) ** 2 / 12;

/** Undefined for a job in which nothing was wetted. `aid`, by {@link aidWithChecks}, is what would be noted where the job says nothing. */
export function jobFigures(
  fit: ShopFit,
  view: ShopView,
  forecast: WaterForecast,
  done: DoneJob,
  aid?: DryingAid,
): JobFigures | undefined {
  const predict = (job: DoneJob) => dryingPredictor(view, fit.models.drying.layout, forecast, job);
  const predictor = predict(done);
  const checked = predict(notedWith(aid, done));
  if (predictor === undefined || checked === undefined) return undefined;
  const { wettest, airVariance } = predictor;
  const drying = behindWater(fit, predictor.entries);
  const water = measuredEntries(view, forecast.layout, done, [wettest]);
  const dryingSigma2 = meanSigma2(fit.models.drying.posterior);
  const waterNoise = forecast.meanSigma2 + sectionErrorVariance(wettest, fit.sectionSpread);
  return {
    done,
    wettest,
    water,
    drying: [...water, ...drying],
    waterNoise,
    dryingNoise: waterNoise + dryingSigma2 + airVariance,
    tanks: tanksOf(fit, view, forecast, done),
    checks: {
      entries: [...checked.water, ...behindWater(fit, checked.entries)],
      variance: dryingSigma2 + checked.addedVariance + checksVariance,
    },
  };
}

/**
 * The aid that the shop mostly names where it notes drying checks; undefined where it mostly names none. Jobs without checks often say nothing
 * of their drying: read as they are, ten more checks would seem to teach how such jobs dry, which the checks that do come never tell.
 */
export function aidWithChecks(jobs: readonly DoneJob[]): DryingAid | undefined {
  const counts = new Map<DryingAid | undefined, number>();
  for (const { job } of jobs) {
    if (job.drying === undefined || job.drying.checks.length === 0) continue;
    const aid = aidOf(job.drying);
    counts.set(aid, (counts.get(aid) ?? 0) + 1);
  }
  return [...counts].toSorted(([, a], [, b]) => b - a)[0]?.[0];
}

function notedWith(aid: DryingAid | undefined, done: DoneJob): DoneJob {
  const { drying } = done.job;
  if (aid === undefined || aidOf(drying ?? {}) !== undefined) return done;
  return { ...done, job: { ...done.job, drying: { checks: [], ...drying, aid } } };
}

/** The tanks of a job as a reading of the log litres in all that was extracted: two readings, each good to half a step. */
function tanksOf(fit: ShopFit, view: ShopView, forecast: WaterForecast, done: DoneJob): PossibleReading | undefined {
  const extracted = done.sections.filter((section) => isExtracted(section) && section.wetPasses > 0);
  if (extracted.length === 0) return undefined;
  const entries = measuredEntries(view, forecast.layout, done, extracted, 'job');
  const litres = Math.exp(forecast.expected(entries) + meanGap(view, done, extracted)) * totalSurfaceM2(extracted);
  const blur = (latestStep(fit.readingSteps) / litres) ** 2 / 6;
  const variance = forecast.meanSigma2 + ownErrorVariance(fit, extracted) + logVariance(fit.tanks) + blur;
  return { entries, variance };
}
