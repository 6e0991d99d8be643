import { type Entries, termColumn } from '../layout.ts';
import type { ShopFit } from '../shop-fit.ts';
import { inWaterColumns } from '../water-and-drying.ts';
import { addDraws } from './draw-arrays.ts';
import { distinctOf, type ModelDraws, type Target, targetEntries } from './model-draws.ts';
import type { WorkOption } from './option-draws.ts';

/** What ties a job's drying to its water: predictors to be drawn with the water, and how they come back into the drying. */
export interface DryingOnWater {
  /** One a distinct target of drying, then the slope on the litres, in the water model's columns; none where no check ever tied the two together. */
  entries(option: WorkOption): readonly Entries[];
  /** The drying model's levels and its slope with what the drawn water coefficients add to them. */
  added(drying: ModelDraws, water: ModelDraws): ModelDraws;
}

export function dryingOnWater({ models, dryingGivenWater }: ShopFit, targets: readonly Target[]): DryingOnWater {
  if (dryingGivenWater.onWater.every((slope) => slope === 0)) return { entries: () => [], added: (drying) => drying };
  const { distinct, placeOf } = distinctOf(targets);
  const { layout } = models.drying;
  const slope = inWaterColumns(dryingGivenWater, [[termColumn(layout, 'lwater'), 1]]);
  return {
    entries: (option) => [
      ...distinct.map((target) => inWaterColumns(dryingGivenWater, targetEntries(layout, target, option))),
      slope,
    ],
    added: (drying, { further }) => ({
      ...drying,
      levels: drying.levels.map((level, s) => addDraws(level.slice(), further[placeOf[s]])),
      coefficients: [addDraws(drying.coefficients[0].slice(), further[distinct.length])],
    }),
  };
}
