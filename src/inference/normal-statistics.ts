import { factorise, multiply, packedLength, solve, traceOfProduct } from './cholesky.ts';
import type { LikelihoodPart } from './likelihood.ts';
import { HALF_LOG_2PI } from './normal.ts';
import { addScaledRow, addWeightedSquare, rowDot } from './sparse.ts';
import type { Observations, SparseRows } from './types.ts';

/** Enough to make the first solve possible with empty or collinear columns; what it bends is undone by the second reading. */
const RIDGE = 1e-10;

/**
 * Exact normal rows as sufficient statistics: Gram matrix, and cross product and sum of squares of the **residuals** about a first least-squares
 * solution b₀. Taken about b₀ and not about zero, the sum of squares loses no digits to cancellation (Longley, Wampler): one more reading of the
 * rows, and none after it, whatever the spreads.
 *
 * SSE(b) = r'r − 2 (b − b₀)'X'r + (b − b₀)'G(b − b₀).
 *
 * **Checked** tests/references/regression.test.ts
 */
export function exactNormalRows(rows: SparseRows, observations: Observations, which: Int32Array): LikelihoodPart {
  const n = rows.nColumns;
  const nObs = which.length;
  const { gram, cross } = gramAndCross(rows, observations, which);
  const base = ridgeSolution(gram, cross, n);
  const { squares, crossResidual } = residualSums(rows, observations, which, base);
  const shift = new Float64Array(n);

  /** Fills `shift`; gives G·shift. */
  const gramShift = (coefficients: Float64Array): Float64Array => {
    for (let j = 0; j < n; j++) shift[j] = coefficients[j] - base[j];
    return multiply(gram, n, shift);
  };
  const sumOfSquares = (product: Float64Array): number => {
    let sum = squares;
    for (let j = 0; j < n; j++) sum += shift[j] * (product[j] - 2 * crossResidual[j]);
    return Math.max(0, sum);
  };

  return {
    nObs,
    summedUp: true,
    addTo(coefficients, sigma, sums) {
      const weight = 1 / (sigma * sigma);
      const product = gramShift(coefficients);
      const scaledSquares = weight * sumOfSquares(product);
      for (let j = 0; j < n; j++) {
        const slope = weight * (crossResidual[j] - product[j]);
        sums.gradient[j] += slope;
        sums.gradientBySigma[j] -= 2 * slope;
      }
      for (let k = 0; k < gram.length; k++) sums.precision[k] += weight * gram[k];
      sums.bySigma += scaledSquares - nObs;
      return -nObs * (HALF_LOG_2PI + Math.log(sigma)) - 0.5 * scaledSquares;
    },
    addLeverageTo(_coefficients, sigma, covariance, sums) {
      sums.bySigma -= (2 / (sigma * sigma)) * traceOfProduct(covariance, gram, n);
    },
  };
}

function gramAndCross(rows: SparseRows, observations: Observations, which: Int32Array) {
  const gram = new Float64Array(packedLength(rows.nColumns));
  const cross = new Float64Array(rows.nColumns);
  for (const row of which) {
    addWeightedSquare(rows, row, 1, gram);
    addScaledRow(rows, row, observations.lower[row] - observations.offset[row], cross);
  }
  return { gram, cross };
}

function ridgeSolution(gram: Float64Array, cross: Float64Array, n: number): Float64Array {
  const ridged = gram.slice();
  for (let j = 0; j < n; j++) {
    const diagonal = packedLength(j) + j;
    ridged[diagonal] = gram[diagonal] > 0 ? gram[diagonal] * (1 + RIDGE) : 1;
  }
  const solution = cross.slice();
  if (factorise(ridged, n, ridged) >= 0) return new Float64Array(n);
  solve(ridged, n, solution);
  return solution;
}

function residualSums(rows: SparseRows, observations: Observations, which: Int32Array, base: Float64Array) {
  const crossResidual = new Float64Array(rows.nColumns);
  let squares = 0;
  for (const row of which) {
    const residual = observations.lower[row] - observations.offset[row] - rowDot(rows, row, base);
    squares += residual * residual;
    addScaledRow(rows, row, residual, crossResidual);
  }
  return { squares, crossResidual };
}
