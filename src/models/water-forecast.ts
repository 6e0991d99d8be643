import { multiply, packedLength } from '../inference/cholesky.ts';
import { dot } from '../inference/dot.ts';
import { type MixtureMoments, meanSigma2, mixtureMoments } from '../inference/mixture-moments.ts';
import { independentRows, runsOf } from '../inference/shared-error.ts';
import { addScaledRow } from '../inference/sparse.ts';
import { type Entries, type Layout, predictorAt } from './layout.ts';
import type { ModelRows } from './rows/model-rows.ts';
import type { FittedModel } from './shop-fit.ts';
import { truncatedNormal } from './truncated-normal.ts';

/** The fitted water model as the drying model asks it: its coefficients as one normal distribution, and the mean of sigma². */
export interface WaterForecast {
  readonly layout: Layout;
  readonly mean: Float64Array;
  /** Packed, over the whole mixture. */
  readonly covariance: Float64Array;
  readonly meanSigma2: number;
  /** Of a linear predictor. */
  expected(entries: Entries): number;
  /** Of one too, sigma² not in it. */
  variance(entries: Entries): number;
}

export function waterForecast({ layout, posterior }: FittedModel): WaterForecast {
  return forecastOf(layout, meanSigma2(posterior), mixtureMoments(posterior));
}

/**
 * The same once readings are seen that the fit has not read: a normal's, one row after the other, each narrowing all coefficients by how they go
 * with it. What a reading says beyond the usual is then as far the coefficients' as the job's own.
 *
 * **Checked** tests/models/drying-after-work.test.ts, against draws from the rules of thumb
 */
export function givenReadings(
  { layout, meanSigma2, mean, covariance }: WaterForecast,
  read: Pick<ModelRows, 'rows' | 'observations' | 'refs'>,
): WaterForecast {
  const { rows, observations } = independentRows(read.rows, read.observations, runsOf(read.refs));
  const [known, open] = [mean.slice(), covariance.slice()];
  const { lower, upper, offset, addedVariance, ofSigma2 } = observations;
  for (let row = 0; row < rows.nRows; row++) {
    const x = new Float64Array(rows.nColumns);
    addScaledRow(rows, row, 1, x);
    const along = multiply(open, rows.nColumns, x);
    const variance = dot(x, along) + (ofSigma2?.[row] ?? 1) * meanSigma2 + (addedVariance?.[row] ?? 0);
    const expected = offset[row] + dot(x, known);
    const told = truncatedNormal({ mean: expected, variance }, lower[row], upper[row]);
    const [moved, lost] = [(told.mean - expected) / variance, (1 - told.variance / variance) / variance];
    along.forEach((one, i) => {
      known[i] += moved * one;
      for (let j = 0; j <= i; j++) open[packedLength(i) + j] -= lost * one * along[j];
    });
  }
  return forecastOf(layout, meanSigma2, { mean: known, covariance: open });
}

function forecastOf(layout: Layout, meanSigma2: number, { mean, covariance }: MixtureMoments): WaterForecast {
  return {
    layout,
    mean,
    covariance,
    meanSigma2,
    expected: (entries) => predictorAt(mean, entries),
    variance: (entries) => {
      const x = new Float64Array(mean.length);
      for (const [column, value] of entries) x[column] += value;
      return dot(x, multiply(covariance, mean.length, x));
    },
  };
}
