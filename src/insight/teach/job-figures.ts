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

/** Undefined for a job in which nothing was wetted. */
export function jobFigures(
  fit: ShopFit,
  view: ShopView,
  forecast: WaterForecast,
  done: DoneJob,
): JobFigures | undefined {
  const predictor = dryingPredictor(view, fit.models.drying.layout, forecast, done);
  if (predictor === undefined) return undefined;
  const { wettest, addedVariance, airVariance } = predictor;
  const drying = behindWater(fit, predictor.entries);
  const water = measuredEntries(view, forecast.layout, done, [wettest]);
  const dryingSigma2 = meanSigma2(fit, 'drying');
  const waterNoise = forecast.meanSigma2 + sectionErrorVariance(wettest);
  return {
    done,
    wettest,
    water,
    drying: [...water, ...drying],
    waterNoise,
    dryingNoise: waterNoise + dryingSigma2 + airVariance,
    tanks: tanksOf(fit, view, forecast, done),
    checks: { entries: [...predictor.water, ...drying], variance: dryingSigma2 + addedVariance + checksVariance },
  };
}

/** The tanks of a job as a reading of the log litres in all that was extracted: two readings, each good to half a step. */
function tanksOf(fit: ShopFit, view: ShopView, forecast: WaterForecast, done: DoneJob): PossibleReading | undefined {
  const extracted = done.sections.filter((section) => isExtracted(section) && section.wetPasses > 0);
  if (extracted.length === 0) return undefined;
  const entries = measuredEntries(view, forecast.layout, done, extracted, 'job');
  const litres = Math.exp(forecast.expected(entries) + meanGap(view, done, extracted)) * totalSurfaceM2(extracted);
  const blur = (latestStep(fit.readingSteps) / litres) ** 2 / 6;
  const variance = forecast.meanSigma2 + ownErrorVariance(extracted) + logVariance(fit.tanks) + blur;
  return { entries, variance };
}

function meanSigma2({ models }: ShopFit, name: keyof ShopFit['models']): number {
  return models[name].posterior.points.reduce((sum, { weight, sigma }) => sum + weight * sigma ** 2, 0);
}
