import { packedLength } from '../inference/cholesky.ts';
import { mixtureMoments } from '../inference/mixture-moments.ts';
import type { Moments } from './expected-max.ts';
import { columnCount, type Entries } from './layout.ts';
import type { WaterForecast } from './rows/drying-rows.ts';
import type { FittedModel } from './shop-fit.ts';

/** The water model ready to be asked for many linear predictors: its mean and covariance are taken once over the whole mixture. */
export function waterForecast(model: FittedModel): WaterForecast {
  const { layout, posterior } = model;
  const { mean, covariance } = mixtureMoments(posterior);
  return {
    layout,
    moments: (entries) => predictorMoments(compact(entries, columnCount(layout)), mean, covariance),
    meanSigma2: posterior.points.reduce((sum, point) => sum + point.weight * point.sigma ** 2, 0),
  };
}

/** Sums repeated columns. */
function compact(entries: Entries, nColumns: number): Entries {
  const summed = new Map<number, number>();
  for (const [column, value] of entries) {
    if (!(column >= 0 && column < nColumns)) throw new RangeError(`column ${column} of ${nColumns}`);
    summed.set(column, (summed.get(column) ?? 0) + value);
  }
  return [...summed].sort(([a], [b]) => a - b);
}

function predictorMoments(entries: Entries, coefficients: Float64Array, covariance: Float64Array): Moments {
  let mean = 0;
  let variance = 0;
  entries.forEach(([i, x], k) => {
    mean += x * coefficients[i];
    for (let m = 0; m < k; m++) variance += 2 * x * entries[m][1] * covariance[packedLength(i) + entries[m][0]];
    variance += x * x * covariance[packedLength(i) + i];
  });
  return { mean, variance };
}
