import { factoriseSemidefinite, packedLength } from '../inference/cholesky.ts';
import { mixtureMoments } from '../inference/mixture-moments.ts';
import { columnCount, type Entries, type Layout } from './layout.ts';
import type { FittedModel } from './shop-fit.ts';

/**
 * The fitted water model as the drying model asks it. Its coefficients are b = mean + L z with z ~ N(0, I): what they leave open of a
 * predictor is carried by the standard scores z, which all rows share.
 */
export interface WaterForecast {
  readonly layout: Layout;
  readonly mean: Float64Array;
  /** Packed lower factor L of the covariance of the coefficients, over the whole mixture. */
  readonly factor: Float64Array;
  readonly meanSigma2: number;
  /** Of a linear predictor. */
  expected(entries: Entries): number;
  /** The same predictor's deviation from it, by standard score. */
  inScores(entries: Entries): Entries;
}

export function waterForecast({ layout, posterior }: FittedModel): WaterForecast {
  const n = columnCount(layout);
  const { mean, covariance } = mixtureMoments(posterior);
  const factor = factoriseSemidefinite(covariance, n);
  return {
    layout,
    mean,
    factor,
    meanSigma2: posterior.points.reduce((sum, point) => sum + point.weight * point.sigma ** 2, 0),
    expected: (entries) => entries.reduce((sum, [column, value]) => sum + value * mean[column], 0),
    inScores: (entries) => {
      const scores = new Float64Array(n);
      for (const [column, value] of entries)
        for (let k = 0; k <= column; k++) scores[k] += value * factor[packedLength(column) + k];
      return [...scores].flatMap((value, k) => (value === 0 ? [] : [[k, value] as const]));
    },
  };
}
