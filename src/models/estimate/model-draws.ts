import { drawByOption } from '../../inference/predict-options.ts';
import type { SparseRows } from '../../inference/types.ts';
import { columnCount, type Entries, termColumn } from '../layout.ts';
import { sparse } from '../rows/model-rows.ts';
import type { FittedModel } from '../shop-fit.ts';
import { predictorNormals, type Stream } from './noise.ts';
import type { OptionDraws } from './option-draws.ts';
import {
  distinctOf,
  joined,
  noPredictors,
  type PredictorParts,
  singleParts,
  type Target,
  targetParts,
} from './predictor-parts.ts';

/** Joint draws of what one model says about a job; every array has one entry a draw. */
export interface ModelDraws {
  readonly sigma: Float64Array;
  /** One a target, technician and extractor of the draw included. */
  readonly levels: readonly Float64Array[];
  /** Single coefficients that meet something drawn elsewhere. */
  readonly coefficients: readonly Float64Array[];
  /** Further predictors of the same model that something else hangs on. */
  readonly further: readonly Float64Array[];
}

/**
 * Draws only the linear predictors that a job needs, jointly: its distinct targets and single coefficients, for the technician and the
 * extractor that each draw takes. Like sections share one predictor: two front seats and a rear bench of one cloth are a single one to draw.
 */
export function modelDraws(
  { layout, posterior }: Pick<FittedModel, 'layout' | 'posterior'>,
  targets: readonly Target[],
  coefficients: readonly string[],
  { options, option }: OptionDraws,
  random: { readonly stream: Stream; readonly shift: number },
  further: PredictorParts = noPredictors(options),
): ModelDraws {
  const places = distinctOf(targets);
  const single = coefficients.map((term): Entries => [[termColumn(layout, term), 1]]);
  const { parts, sets } = joined([
    targetParts(layout, places.distinct, options),
    singleParts(single, options),
    further,
  ]);
  const size = sets[0].length;
  const predictors = {
    parts: designOf(parts, columnCount(layout)),
    sums: designOf(sets.flat(), parts.length),
    size,
  };
  const normals = predictorNormals(random.stream, option.length, size);
  const draws = drawByOption(posterior, predictors, option, normals, random.shift);
  return {
    sigma: draws.sigma,
    levels: places.placeOf.map((place) => draws.eta[place]),
    coefficients: draws.eta.slice(places.distinct.length, places.distinct.length + single.length),
    further: draws.eta.slice(places.distinct.length + single.length),
  };
}

function designOf(rows: readonly Entries[], nColumns: number): SparseRows {
  return sparse(
    rows.map((entries) => ({ entries })),
    nColumns,
  );
}
