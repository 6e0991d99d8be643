import { factorise, inverse, packedLength, solve } from './cholesky.ts';
import { dot } from './dot.ts';
import { addScaledRow, addWeightedSquare, rowDot } from './sparse.ts';
import type { SparseRows } from './types.ts';

/** The posterior of a regression of counts, as a normal about its mode. */
interface CountPosterior {
  readonly coefficients: Float64Array;
  /** Packed. */
  readonly covariance: Float64Array;
}

const MAX_ITERATIONS = 100;
const MAX_HALVINGS = 30;
/** Twice the gain still to be had at which the step is the last one. */
const LAST_DECREMENT = 1e-18;

/**
 * Counts with log mean eta = X b, and b ~ N(mean, sd²) each for itself; by Newton's method with step halving.
 *
 * **Shapes** one count a row of X, one prior a column. **Throws** where a column says nothing and its prior neither, or nothing is finite.
 * **Source** P. McCullagh, J. A. Nelder, Generalized Linear Models (1989), chapter 6. **Checked** tests/references/poisson.test.ts
 */
export function poissonRegression(
  rows: SparseRows,
  counts: ArrayLike<number>,
  prior: { readonly mean: ArrayLike<number>; readonly sd: ArrayLike<number> },
): CountPosterior {
  const n = rows.nColumns;
  const coefficients = Float64Array.from(prior.mean);
  const precision = new Float64Array(packedLength(n));
  const factor = new Float64Array(packedLength(n));
  let density = logDensity(coefficients);
  for (let iteration = 0; iteration < MAX_ITERATIONS; iteration++) {
    const step = gradientAndPrecision(coefficients, precision);
    const gradient = step.slice();
    const column = factorise(precision, n, factor);
    if (column >= 0) throw new Error(`column ${column} of ${n} depends on those before it, or is not finite`);
    solve(factor, n, step);
    const decrement = dot(step, gradient);
    if (decrement <= LAST_DECREMENT)
      return { coefficients: coefficients.map((value, j) => value + step[j]), covariance: inverse(factor, n) };
    density = climb(step, density);
  }
  throw new Error('a regression of counts did not come to its mode');

  /** Moves the coefficients by the step, or by so much of it as does not lose. */
  function climb(step: Float64Array, from: number): number {
    for (let halving = 0, length = 1; halving < MAX_HALVINGS; halving++, length *= 0.5) {
      const next = coefficients.map((value, j) => value + length * step[j]);
      const density = logDensity(next);
      if (density < from - 1e-12 * Math.abs(from) || !Number.isFinite(density)) continue;
      coefficients.set(next);
      return density;
    }
    throw new Error('no step of a regression of counts gains');
  }

  function logDensity(at: Float64Array): number {
    let sum = 0;
    for (let i = 0; i < rows.nRows; i++) {
      const eta = rowDot(rows, i, at);
      sum += counts[i] * eta - Math.exp(eta);
    }
    for (let j = 0; j < n; j++) sum -= 0.5 * ((at[j] - prior.mean[j]) / prior.sd[j]) ** 2;
    return sum;
  }

  function gradientAndPrecision(at: Float64Array, into: Float64Array): Float64Array {
    into.fill(0);
    const gradient = new Float64Array(n);
    for (let i = 0; i < rows.nRows; i++) {
      const mean = Math.exp(rowDot(rows, i, at));
      addScaledRow(rows, i, counts[i] - mean, gradient);
      addWeightedSquare(rows, i, mean, into);
    }
    for (let j = 0; j < n; j++) {
      const weight = 1 / prior.sd[j] ** 2;
      gradient[j] -= weight * (at[j] - prior.mean[j]);
      into[packedLength(j) + j] += weight;
    }
    return gradient;
  }
}
