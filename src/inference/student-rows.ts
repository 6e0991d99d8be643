import { packedLength, traceOfProduct } from './cholesky.ts';
import type { LikelihoodPart } from './likelihood.ts';
import { logStudentConstant } from './normal.ts';
import { emptyRowTerm, studentTerm } from './row-term.ts';
import { addTwiceScaledRow, addWeightedSquare, rowDot } from './sparse.ts';
import type { Observations, SparseRows } from './types.ts';

/**
 * Exact rows with Student errors. The expected curvature is one number for all rows, so their Gram matrix is made once and a step only sums slopes.
 *
 * **Throws** RangeError where a row is not exact, carries a variance of its own, or a part of sigma²: none of them has a meaning here.
 */
export function studentRows(rows: SparseRows, observations: Observations, degrees: number): LikelihoodPart {
  checkExact(observations, rows.nRows);
  const { lower, offset } = observations;
  const constant = logStudentConstant(degrees);
  const gram = new Float64Array(packedLength(rows.nColumns));
  for (let row = 0; row < rows.nRows; row++) addWeightedSquare(rows, row, 1, gram);
  const term = emptyRowTerm();
  const read = (row: number, coefficients: Float64Array, sigma: number): void =>
    studentTerm(lower[row], offset[row] + rowDot(rows, row, coefficients), sigma, degrees, constant, term);
  const curvature = (sigma: number): number => (degrees + 1) / ((degrees + 3) * sigma * sigma);

  return {
    nObs: rows.nRows,
    summedUp: false,
    addTo(coefficients, sigma, sums) {
      let sum = 0;
      for (let row = 0; row < rows.nRows; row++) {
        read(row, coefficients, sigma);
        sum += term.value;
        sums.bySigma += term.byScale;
        addTwiceScaledRow(rows, row, term.slope, sums.gradient, term.slopeByScale, sums.gradientBySigma);
      }
      const weight = curvature(sigma);
      for (let k = 0; k < gram.length; k++) sums.precision[k] += weight * gram[k];
      return sum;
    },
    addLeverageTo(_coefficients, sigma, covariance, sums) {
      sums.bySigma -= 2 * curvature(sigma) * traceOfProduct(covariance, gram, rows.nColumns);
    },
  };
}

function checkExact(observations: Observations, nRows: number): void {
  for (let row = 0; row < nRows; row++) {
    if (observations.lower[row] !== observations.upper[row]) {
      throw new RangeError(`row ${row}: an interval with student-t errors: exact rows only`);
    }
    if ((observations.addedVariance?.[row] ?? 0) !== 0) {
      throw new RangeError(`row ${row}: added variance with student-t errors: normal errors only`);
    }
    if ((observations.ofSigma2?.[row] ?? 1) !== 1) {
      throw new RangeError(`row ${row}: a part of sigma² with student-t errors: normal errors only`);
    }
  }
}
