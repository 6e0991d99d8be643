import type { LikelihoodPart } from './likelihood.ts';
import { emptyNormalTerms, fillNormalTerms } from './normal-terms.ts';
import { addRowSums, rowLeverages } from './row-sums.ts';
import { addScaledRow, rowDot } from './sparse.ts';
import type { Observations, SparseRows } from './types.ts';

/** So many rows are read at a time, each sum in a short loop of its own: one loop that does all is compiled to half again the time. */
const BLOCK = 64;

/** Rows with normal errors that are censored, in an interval, or have a variance of their own: read at every step. */
export function normalRows(rows: SparseRows, observations: Observations, which: Int32Array): LikelihoodPart {
  const { lower, upper, offset, addedVariance } = observations;
  const blocks = Array.from({ length: Math.ceil(which.length / BLOCK) }, (_, b) =>
    which.subarray(b * BLOCK, (b + 1) * BLOCK),
  );
  const terms = emptyNormalTerms(BLOCK);
  const { value, slope, slopeByScale, byScale, curvature, curvatureSlope, curvatureByScale } = terms;
  /** ∂log scale / ∂log sigma: below one where part of the variance is the row's own. */
  const share = new Float64Array(BLOCK);
  const leverage = new Float64Array(BLOCK);
  const read = (block: Int32Array, coefficients: Float64Array, sigma: number): void => {
    for (let k = 0; k < block.length; k++) {
      const row = block[k];
      const eta = offset[row] + rowDot(rows, row, coefficients);
      const scale = addedVariance ? Math.sqrt(sigma * sigma + addedVariance[row]) : sigma;
      terms.lower[k] = (lower[row] - eta) / scale;
      terms.upper[k] = (upper[row] - eta) / scale;
      terms.width[k] = upper[row] - lower[row];
      terms.scale[k] = scale;
      share[k] = (sigma * sigma) / (scale * scale);
    }
    fillNormalTerms(terms, block.length);
  };

  return {
    nObs: which.length,
    summedUp: false,
    addTo(coefficients, sigma, sums) {
      const weights = { slope, slopeBySigma: slopeByScale, curvature };
      let sum = 0;
      for (const block of blocks) {
        read(block, coefficients, sigma);
        for (let k = 0; k < block.length; k++) {
          sum += value[k];
          sums.bySigma += share[k] * byScale[k];
          slopeByScale[k] *= share[k];
        }
        addRowSums(rows, block, weights, sums);
      }
      return sum;
    },
    addLeverageTo(coefficients, sigma, covariance, sums) {
      for (const block of blocks) {
        read(block, coefficients, sigma);
        rowLeverages(rows, block, covariance, leverage);
        for (let k = 0; k < block.length; k++) {
          sums.bySigma += leverage[k] * share[k] * curvatureByScale[k];
          addScaledRow(rows, block[k], leverage[k] * curvatureSlope[k], sums.byColumn);
        }
      }
    },
  };
}
