import type { LikelihoodPart } from './likelihood.ts';
import { emptyRowTerm, normalTerm } from './row-term.ts';
import { addScaledRow, addTwiceScaledRow, addWeightedSquare, quadraticForm, rowDot } from './sparse.ts';
import type { Observations, SparseRows } from './types.ts';

/** Rows with normal errors that are censored, in an interval, or have a variance of their own: read at every step. */
export function normalRows(rows: SparseRows, observations: Observations, which: Int32Array): LikelihoodPart {
  const { lower, upper, offset, addedVariance, ofSigma2 } = observations;
  const term = emptyRowTerm();
  const partOf = ofSigma2 ? (row: number): number => ofSigma2[row] : (): number => 1;
  const ownOf = addedVariance ? (row: number): number => addedVariance[row] : (): number => 0;
  const scaleOf = (row: number, sigma: number): number =>
    addedVariance || ofSigma2 ? Math.sqrt(partOf(row) * sigma * sigma + ownOf(row)) : sigma;

  return {
    nObs: which.length,
    summedUp: false,
    addTo(coefficients, sigma, sums) {
      let sum = 0;
      for (let k = 0; k < which.length; k++) {
        const row = which[k];
        const eta = offset[row] + rowDot(rows, row, coefficients);
        const scale = scaleOf(row, sigma);
        const share = partOf(row) * shareOfSigma(scale, sigma);
        normalTerm(lower[row], upper[row], eta, scale, term);
        sum += term.value;
        sums.bySigma += share * term.byScale;
        addTwiceScaledRow(rows, row, term.slope, sums.gradient, share * term.slopeByScale, sums.gradientBySigma);
        addWeightedSquare(rows, row, term.curvature, sums.precision);
      }
      return sum;
    },
    addLeverageTo(coefficients, sigma, covariance, sums) {
      for (let k = 0; k < which.length; k++) {
        const row = which[k];
        const scale = scaleOf(row, sigma);
        const eta = offset[row] + rowDot(rows, row, coefficients);
        normalTerm(lower[row], upper[row], eta, scale, term);
        const leverage = quadraticForm(rows, row, covariance);
        sums.bySigma += leverage * partOf(row) * shareOfSigma(scale, sigma) * term.curvatureByScale;
        addScaledRow(rows, row, leverage * term.curvatureSlope, sums.byColumn);
      }
    },
  };
}

/** ∂log scale / ∂log sigma: below one where part of the variance is the row's own. */
const shareOfSigma = (scale: number, sigma: number): number => (sigma * sigma) / (scale * scale);
