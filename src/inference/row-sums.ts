import { packedLength } from './cholesky.ts';
import type { SparseRows } from './types.ts';

/** What rows which[0], which[1] … add, by their place in `which`. */
export interface RowWeights {
  readonly slope: Float64Array;
  readonly slopeBySigma: Float64Array;
  readonly curvature: Float64Array;
}

/** What they add to: one entry a column, and the packed lower triangle. */
export interface WeightedSums {
  readonly gradient: Float64Array;
  readonly gradientBySigma: Float64Array;
  readonly precision: Float64Array;
}

/**
 * gradient += Σ slope_i x_i, gradientBySigma += Σ slopeBySigma_i x_i, precision += Σ curvature_i x_i x_iᵀ; a row's columns are sorted, so each pair
 * falls into the lower triangle.
 * This is most of a Newton step. Two packed rows by two entries a turn read each entry once for two sums; many rows a call, because a loop this
 * short is compiled well only on its own, and not as a part of one that also reads the likelihood.
 *
 * **Checked** tests/inference/row-sums.test.ts, against the dense products
 */
export function addRowSums(rows: SparseRows, which: Int32Array, weights: RowWeights, sums: WeightedSums): void {
  const { rowStart, column, value } = rows;
  const { slope, slopeBySigma, curvature } = weights;
  const { gradient, gradientBySigma, precision } = sums;
  for (let i = 0; i < which.length; i++) {
    const start = rowStart[which[i]];
    const end = rowStart[which[i] + 1];
    let k = start;
    for (; k + 1 < end; k += 2) {
      const columnK = column[k];
      const columnL = column[k + 1];
      const valueK = value[k];
      const valueL = value[k + 1];
      gradient[columnK] += slope[i] * valueK;
      gradient[columnL] += slope[i] * valueL;
      gradientBySigma[columnK] += slopeBySigma[i] * valueK;
      gradientBySigma[columnL] += slopeBySigma[i] * valueL;
      const rowK = packedLength(columnK);
      const rowL = packedLength(columnL);
      const scaledK = curvature[i] * valueK;
      const scaledL = curvature[i] * valueL;
      for (let m = start; m < k; m += 2) {
        const one = column[m];
        const two = column[m + 1];
        const valueOne = value[m];
        const valueTwo = value[m + 1];
        const sumK1 = precision[rowK + one] + scaledK * valueOne;
        const sumL1 = precision[rowL + one] + scaledL * valueOne;
        const sumK2 = precision[rowK + two] + scaledK * valueTwo;
        const sumL2 = precision[rowL + two] + scaledL * valueTwo;
        precision[rowK + one] = sumK1;
        precision[rowL + one] = sumL1;
        precision[rowK + two] = sumK2;
        precision[rowL + two] = sumL2;
      }
      precision[rowK + columnK] += scaledK * valueK;
      precision[rowL + columnK] += scaledL * valueK;
      precision[rowL + columnL] += scaledL * valueL;
    }
    if (k === end) continue;
    const scaled = curvature[i] * value[k];
    const last = packedLength(column[k]);
    gradient[column[k]] += slope[i] * value[k];
    gradientBySigma[column[k]] += slopeBySigma[i] * value[k];
    for (let m = start; m <= k; m++) precision[last + column[m]] += scaled * value[m];
  }
}

/** x_iᵀ A x_i of each row for a packed symmetric A: its leverage where A is a covariance. */
export function rowLeverages(rows: SparseRows, which: Int32Array, matrix: Float64Array, into: Float64Array): void {
  const { rowStart, column, value } = rows;
  for (let i = 0; i < which.length; i++) {
    const start = rowStart[which[i]];
    const end = rowStart[which[i] + 1];
    let total = 0;
    let k = start;
    for (; k + 1 < end; k += 2) {
      const rowK = packedLength(column[k]);
      const rowL = packedLength(column[k + 1]);
      let sumK = 0;
      let sumL = 0;
      for (let m = start; m < k; m += 2) {
        const one = column[m];
        const two = column[m + 1];
        const valueOne = value[m];
        const valueTwo = value[m + 1];
        sumK += matrix[rowK + one] * valueOne + matrix[rowK + two] * valueTwo;
        sumL += matrix[rowL + one] * valueOne + matrix[rowL + two] * valueTwo;
      }
      sumL += matrix[rowL + column[k]] * value[k];
      total += value[k] * (2 * sumK + matrix[rowK + column[k]] * value[k]);
      total += value[k + 1] * (2 * sumL + matrix[rowL + column[k + 1]] * value[k + 1]);
    }
    if (k < end) {
      const last = packedLength(column[k]);
      let sum = 0;
      for (let m = start; m < k; m++) sum += matrix[last + column[m]] * value[m];
      total += value[k] * (2 * sum + matrix[last + column[k]] * value[k]);
    }
    into[i] = total;
  }
}
