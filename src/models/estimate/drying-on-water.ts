import { termColumn } from '../layout.ts';
import type { ShopFit } from '../shop-fit.ts';
import { inWaterColumns } from '../water-and-drying.ts';
import { addDraws } from './draw-arrays.ts';
import type { ModelDraws } from './model-draws.ts';
import type { WorkOption } from './option-draws.ts';
import {
  distinctOf,
  joined,
  noPredictors,
  type PredictorParts,
  singleParts,
  type Target,
  targetParts,
} from './predictor-parts.ts';

/** What ties a job's drying to its water: predictors to be drawn with the water, and how they come back into the drying. */
interface DryingOnWater {
  /** One a distinct target of drying, then the slope on the litres, in the water model's columns; none where no check ever tied the two together. */
  readonly predictors: PredictorParts;
  /** The drying model's levels and its slope with what the drawn water coefficients add to them. */
  added(drying: ModelDraws, water: ModelDraws): ModelDraws;
}

export function dryingOnWater(
  { models, dryingGivenWater }: ShopFit,
  targets: readonly Target[],
  options: readonly WorkOption[],
): DryingOnWater {
  if (dryingGivenWater.onWater.every((slope) => slope === 0))
    return { predictors: noPredictors(options), added: (drying) => drying };
  const { distinct, placeOf } = distinctOf(targets);
  const { layout } = models.drying;
  const ofDrying = joined([
    targetParts(layout, distinct, options),
    singleParts([[[termColumn(layout, 'lwater'), 1]]], options),
  ]);
  const parts = ofDrying.parts.map((entries) => inWaterColumns(dryingGivenWater, entries));
  return {
    predictors: { ...ofDrying, parts },
    added: (drying, { further }) => ({
      ...drying,
      levels: drying.levels.map((level, s) => addDraws(level.slice(), further[placeOf[s]])),
      coefficients: [addDraws(drying.coefficients[0].slice(), further[distinct.length])],
    }),
  };
}
