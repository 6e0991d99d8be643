import type { LikelihoodPart } from './likelihood.ts';
import { emptyRowTerm, normalTerm } from './row-term.ts';
import { addScaledRow, addWeightedSquare, quadraticForm, rowDot } from './sparse.ts';
import type { Observations, SparseRows } from './types.ts';

/** Rows with normal errors that are censored, in an interval, or have a variance of their own: read at every step. */
export function normalRows(rows: SparseRows, observations: Observations, which: Int32Array): LikelihoodPart {
  const { lower, upper, offset, addedVariance } = observations;
  const term = emptyRowTerm();
  const scaleOf = (row: number, sigma: number): number =>
    addedVariance ? Math.sqrt(sigma * sigma + addedVariance[row]) : sigma;

  return {
    nObs: which.length,
    addTo(coefficients, sigma, gradient, precision) {
      let sum = 0;
      for (const row of which) {
        const eta = offset[row] + rowDot(rows, row, coefficients);
        normalTerm(lower[row], upper[row], eta, scaleOf(row, sigma), term);
        sum += term.value;
        addScaledRow(rows, row, term.slope, gradient);
        addWeightedSquare(rows, row, term.curvature, precision);
      }
      return sum;
    },
    addSpreadTo(coefficients, sigma, covariance, sums) {
      for (const row of which) {
        const scale = scaleOf(row, sigma);
        // ∂log scale / ∂log sigma: below one where part of the variance is the row's own
        const share = (sigma * sigma) / (scale * scale);
        const eta = offset[row] + rowDot(rows, row, coefficients);
        normalTerm(lower[row], upper[row], eta, scale, term);
        const leverage = quadraticForm(rows, row, covariance);
        sums.bySigma += share * term.byScale;
        sums.leverageBySigma += share * leverage * term.curvatureByScale;
        addScaledRow(rows, row, share * term.slopeByScale, sums.gradientBySigma);
        addScaledRow(rows, row, leverage * term.curvatureSlope, sums.leverageByColumn);
      }
    },
  };
}
