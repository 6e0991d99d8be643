import { type Allocation, allocateDraws, forEachPoint } from './allocation.ts';
import { factoriseSemidefinite, multiply, packedLength, solveLower, solveUpper } from './cholesky.ts';
import { mixtureMoments } from './mixture-moments.ts';
import { addScaledRow, rowDot } from './sparse.ts';
import type { Posterior, PosteriorPoint, SparseRows } from './types.ts';

interface PredictorMoments {
  /** One a row. */
  readonly mean: Float64Array;
  readonly variance: Float64Array;
  /** Between rows, packed lower. */
  readonly covariance: Float64Array;
}

interface PredictorDraws {
  /** Draw d of row r at r · nDraws + d: the draws of one row lie together. */
  readonly eta: Float64Array;
  /** One a draw. */
  readonly sigma: Float64Array;
  /** The design point of each draw. */
  readonly point: Int32Array;
}

/** Mean, variance and covariance of x·b for each row over the whole mixture; offsets are the caller's to add. */
export function predictorMoments(posterior: Posterior, rows: SparseRows): PredictorMoments {
  const n = rows.nRows;
  const ofCoefficients = mixtureMoments(posterior);
  const mean = Float64Array.from({ length: n }, (_, i) => rowDot(rows, i, ofCoefficients.mean));
  const covariance = new Float64Array(packedLength(n));
  for (let j = 0; j < n; j++) {
    const x = new Float64Array(posterior.nColumns);
    addScaledRow(rows, j, 1, x);
    const withAll = multiply(ofCoefficients.covariance, posterior.nColumns, x);
    for (let i = j; i < n; i++) covariance[packedLength(i) + j] = rowDot(rows, i, withAll);
  }
  return { mean, variance: mean.map((_, i) => covariance[packedLength(i) + i]), covariance };
}

/**
 * Joint draws of x·b for a few rows, with the sigma of each draw. Only these predictors are drawn, by the factor of their own small
 * covariance at each point; draws are allotted to points by weight, in a fixed shuffled order.
 *
 * **Shapes** `normals`: nDraws · nRows standard normals (`standardNormals`, `normalStore`), however the data look.
 * **Throws** RangeError where there are fewer.
 * **Checked** tests/inference/predict.test.ts
 */
export function drawPredictors(
  posterior: Posterior,
  rows: SparseRows,
  normals: Float64Array,
  nDraws: number,
): PredictorDraws {
  const { nRows } = rows;
  checkNormals(normals, nDraws * nRows);
  const allocation = allocateDraws(posterior.points, nDraws);
  const eta = new Float64Array(nRows * nDraws);
  forEachPoint(allocation, (k, from, to) => {
    const { mean, covariance } = predictorsGiven(posterior.points[k], posterior.nColumns, rows);
    const factor = factoriseSemidefinite(covariance, nRows);
    fillDraws(eta, mean, factor, normals, allocation.order, from, to);
  });
  return { eta, ...spreadOfDraws(posterior.points, allocation) };
}

/**
 * Joint draws of all coefficients, for reports on many rows: draw d of coefficient j at j · nDraws + d.
 * **Shapes** `normals`: nDraws · nColumns. `shift` as in `allocateDraws`.
 */
export function drawCoefficients(posterior: Posterior, normals: Float64Array, nDraws: number, shift = 0) {
  const n = posterior.nColumns;
  checkNormals(normals, nDraws * n);
  const allocation = allocateDraws(posterior.points, nDraws, shift);
  const coefficients = new Float64Array(n * nDraws);
  const deviation = new Float64Array(n);
  forEachPoint(allocation, (k, from, to) => {
    const { mode, precisionFactor } = posterior.points[k];
    for (let d = from; d < to; d++) {
      for (let j = 0; j < n; j++) deviation[j] = normals[j * nDraws + d];
      solveUpper(precisionFactor, n, deviation);
      for (let j = 0; j < n; j++) coefficients[j * nDraws + allocation.order[d]] = mode[j] + deviation[j];
    }
  });
  return { coefficients, ...spreadOfDraws(posterior.points, allocation) };
}

/**
 * Mean and packed covariance of the predictors at one point: with L z_i = x_i the covariance of rows i and j is z_i · z_j. A z is zero before
 * the first column of its row, so that rows of a single effect cost little.
 */
export function predictorsGiven(point: PosteriorPoint, nColumns: number, rows: SparseRows) {
  const { nRows } = rows;
  const { mean, solved, from } = solvePredictors(point, nColumns, rows);
  const covariance = new Float64Array(packedLength(nRows));
  for (let i = 0; i < nRows; i++)
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = Math.max(from[i], from[j]); k < nColumns; k++)
        sum += solved[i * nColumns + k] * solved[j * nColumns + k];
      covariance[packedLength(i) + j] = sum;
    }
  return { mean, covariance };
}

/** Each row's mean at one point, and its z with L z = x at row · nColumns, zero before `from`. */
function solvePredictors(point: PosteriorPoint, nColumns: number, rows: SparseRows) {
  const solved = new Float64Array(rows.nRows * nColumns);
  const mean = new Float64Array(rows.nRows);
  const from = new Int32Array(rows.nRows);
  const diagonal = isDiagonal(point.precisionFactor, nColumns);
  for (let i = 0; i < rows.nRows; i++) {
    const z = solved.subarray(i * nColumns, (i + 1) * nColumns);
    const start = rows.rowStart[i];
    const end = rows.rowStart[i + 1];
    from[i] = end > start ? rows.column[start] : nColumns;
    for (let k = start; k < end; k++) z[rows.column[k]] = rows.value[k];
    if (diagonal)
      for (let k = start; k < end; k++) z[rows.column[k]] /= diagonalEntry(point.precisionFactor, rows.column[k]);
    else solveLower(point.precisionFactor, nColumns, z, from[i]);
    mean[i] = rowDot(rows, i, point.mode);
  }
  return { mean, solved, from };
}

/** That of no records is: its predictors cost next to nothing. */
function isDiagonal(factor: Float64Array, n: number): boolean {
  for (let i = 1; i < n; i++) for (let j = 0; j < i; j++) if (factor[packedLength(i) + j] !== 0) return false;
  return true;
}

function diagonalEntry(factor: Float64Array, i: number): number {
  return factor[packedLength(i) + i];
}

/**
 * The draws of one point, places `from` to `to` of the order: mean plus factor times normals. The normals of one dimension lie together, so
 * the innermost loop runs along the draws: three times as fast as along the dimensions.
 */
function fillDraws(
  eta: Float64Array,
  mean: Float64Array,
  factor: Float64Array,
  normals: Float64Array,
  order: Int32Array,
  from: number,
  to: number,
): void {
  const nDraws = order.length;
  const sums = new Float64Array(to - from);
  for (let r = 0; r < mean.length; r++) {
    sums.fill(mean[r]);
    for (let j = 0; j <= r; j++) {
      const entry = factor[packedLength(r) + j];
      const first = j * nDraws + from;
      for (let i = 0; i < sums.length; i++) sums[i] += entry * normals[first + i];
    }
    for (let i = 0; i < sums.length; i++) eta[r * nDraws + order[from + i]] = sums[i];
  }
}

/** Each draw's design point, and sigma there. */
export function spreadOfDraws(points: readonly PosteriorPoint[], allocation: Allocation) {
  const nDraws = allocation.order.length;
  const sigma = new Float64Array(nDraws);
  const point = new Int32Array(nDraws);
  forEachPoint(allocation, (k, from, to) => {
    for (let d = from; d < to; d++) {
      const place = allocation.order[d];
      point[place] = k;
      sigma[place] = points[k].sigma;
    }
  });
  return { sigma, point };
}

export function checkNormals(normals: Float64Array, needed: number): void {
  if (normals.length < needed)
    throw new RangeError(`normals has ${normals.length} entries: draws times dimensions, ${needed}`);
}
