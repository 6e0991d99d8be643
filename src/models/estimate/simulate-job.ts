import type { ModelName } from '../../domain/doubts.ts';
import { dryingRate } from '../drying-air.ts';
import type { FittedModel, ShopFit } from '../shop-fit.ts';
import { logVariance, type Tanks } from '../tanks.ts';
import { lostTerm } from '../terms/water-terms.ts';
import { isExtracted } from '../work-section.ts';
import { expDraws, largestDraws, weightedDraws } from './draw-arrays.ts';
import { onTheClock } from './drying-clock.ts';
import { dryingOnWater } from './drying-on-water.ts';
import { jobTargets } from './job-targets.ts';
import { modelDraws } from './model-draws.ts';
import { normalDraws } from './noise.ts';
import { type OptionDraws, optionDraws } from './option-draws.ts';
import type { PlannedWork } from './planned-work.ts';
import type { PredictorParts } from './predictor-parts.ts';
import { simulateDrying } from './simulate-drying.ts';
import { simulateLabour } from './simulate-labour.ts';
import { type PassesDraws, simulatePasses } from './simulate-passes.ts';
import { simulateWater } from './simulate-water.ts';

/** A job lived through many times; every array has one entry a draw, and draw d of all of them belongs together. */
export interface JobDraws {
  /** Who does it, and with what. */
  readonly options: OptionDraws;
  readonly passes: readonly PassesDraws[];
  /** Person-hours. */
  readonly labourHours: Float64Array;
  /** By section. */
  readonly waterLPerM2: readonly Float64Array[];
  readonly wettestLPerM2: Float64Array;
  /** Over all extracted sections; over all sections where none is extracted. */
  readonly extractedLPerM2: Float64Array;
  /** The same as a job's tanks will tell it: with what is lost on the way, and with their error beside their step. */
  readonly tanksLPerM2: Float64Array;
  readonly waterLitres: Float64Array;
  /** Of drying, were all of it by day. */
  readonly hoursOfDay: Float64Array;
  readonly dryHours: Float64Array;
}

const order: readonly ModelName[] = ['passes', 'labour', 'water', 'drying'];

/**
 * Draws a planned job from the posterior as one chain: passes needed → passes made → labour; water of each section → drying of the slowest.
 * Always the same numbers for the same fit, plan and count of draws.
 */
export function simulateJob(fit: ShopFit, work: PlannedWork, nDraws: number): JobDraws {
  const { options, draw, passes, labourHours, targets } = begin(fit, work, nDraws);
  const onWater = dryingOnWater(fit, targets.drying, options.options);
  const water = draw('water', fit.models.water, ['lwet', 'dry', 'lost'], onWater.predictors);
  const logWater = simulateWater(work, water, passes, options, fit);
  const { layout } = fit.models.drying;
  const drying = onWater.added(draw('drying', { layout, posterior: fit.dryingGivenWater.rest }, ['lwater']), water);
  const hoursOfDay = simulateDrying(drying, logWater, dryingRate(work.job.drying ?? {}, fit.usualAir));
  const dryHours = onTheClock(fit.nights, work, labourHours, hoursOfDay);
  const figures = waterFigures(work, logWater, water.coefficients[2], fit.tanks);
  return { options, passes, labourHours, hoursOfDay, dryHours, ...figures };
}

/** The same draws of passes and hours without the water and the drying: for a price, which does not hang on them. */
export function simulateHours(
  fit: ShopFit,
  work: PlannedWork,
  nDraws: number,
): Pick<JobDraws, 'passes' | 'labourHours'> {
  const { passes, labourHours } = begin(fit, work, nDraws);
  return { passes, labourHours };
}

function begin(fit: ShopFit, work: PlannedWork, nDraws: number) {
  const options = optionDraws(work, nDraws);
  const targets = jobTargets(fit, work);
  const draw = (
    name: ModelName,
    model: Pick<FittedModel, 'layout' | 'posterior'>,
    coefficients: readonly string[],
    further?: PredictorParts,
  ) => {
    const shift = Math.floor((order.indexOf(name) * nDraws) / order.length);
    const random = { stream: `${name}Predictors`, shift } as const;
    return modelDraws(model, targets[name], coefficients, options, random, further);
  };
  const { models } = fit;
  const passes = simulatePasses(draw('passes', models.passes, []), fit, work, options);
  const ofLabour = draw('labour', models.labour, ['lpass']);
  const labourHours = simulateLabour(work, ofLabour, passes, models.labour.posterior.error);
  return { options, draw, passes, labourHours, targets };
}

function waterFigures({ sections }: PlannedWork, logWater: readonly Float64Array[], lost: Float64Array, tanks: Tanks) {
  const waterLPerM2 = logWater.map(expDraws);
  const surfaces = sections.map(({ surfaceM2 }) => surfaceM2);
  const extracted = sections.map((section) => (isExtracted(section) ? section.surfaceM2 : 0));
  const hasTanks = extracted.some((m2) => m2 > 0);
  const measured = hasTanks ? extracted : surfaces;
  const measuredM2 = measured.reduce((sum, m2) => sum + m2, 0);
  const extractedLPerM2 = weightedDraws(
    waterLPerM2,
    measured.map((m2) => m2 / measuredM2),
  );
  const [tanksOver, tanksSd] = hasTanks ? [lostTerm(measuredM2), Math.sqrt(logVariance(tanks))] : [0, 0];
  const off = normalDraws('tanks', lost.length);
  return {
    waterLPerM2,
    wettestLPerM2: largestDraws(waterLPerM2),
    extractedLPerM2,
    tanksLPerM2: extractedLPerM2.map((litres, d) => litres * Math.exp(tanksOver * lost[d] + tanksSd * off[d])),
    waterLitres: weightedDraws(waterLPerM2, surfaces),
  };
}
