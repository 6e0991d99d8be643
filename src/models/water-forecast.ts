import { mixtureMoments } from '../inference/mixture-moments.ts';
import type { Entries, Layout } from './layout.ts';
import type { FittedModel } from './shop-fit.ts';

/** The fitted water model as the drying model asks it: its coefficients as one normal distribution, and the mean of sigma². */
export interface WaterForecast {
  readonly layout: Layout;
  readonly mean: Float64Array;
  /** Packed, over the whole mixture. */
  readonly covariance: Float64Array;
  readonly meanSigma2: number;
  /** Of a linear predictor. */
  expected(entries: Entries): number;
}

export function waterForecast({ layout, posterior }: FittedModel): WaterForecast {
  const { mean, covariance } = mixtureMoments(posterior);
  return {
    layout,
    mean,
    covariance,
    meanSigma2: posterior.points.reduce((sum, point) => sum + point.weight * point.sigma ** 2, 0),
    expected: (entries) => expectedOf(entries, mean),
  };
}

function expectedOf(entries: Entries, mean: Float64Array): number {
  let sum = 0;
  for (const [column, value] of entries) sum += value * mean[column];
  return sum;
}
