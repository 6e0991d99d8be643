import { factorOf, inverse, packedLength, solveUpper } from './cholesky.ts';
import { dot } from './dot.ts';
import type { Posterior, PosteriorPoint } from './types.ts';

/**
 * The posterior of y = M x + c, point by point: modes and covariances go with it, spreads and weights stay.
 *
 * **Shapes** `rows`: those of M, one a column of y; `constant`: as many.
 * **Checked** tests/models/water-and-drying.test.ts
 */
export function affine(posterior: Posterior, rows: readonly Float64Array[], constant: Float64Array): Posterior {
  const points = posterior.points.map((point) => affinePoint(point, rows, constant));
  return { ...posterior, nColumns: rows.length, points };
}

/** The same of one point. */
export function affinePoint(
  point: PosteriorPoint,
  rows: readonly Float64Array[],
  constant: Float64Array,
): PosteriorPoint {
  const covariance = image(rows, inverse(point.precisionFactor, point.mode.length));
  return {
    ...point,
    mode: constant.map((value, i) => value + dot(rows[i], point.mode)),
    precisionFactor: precisionFactorOf(covariance, rows.length),
  };
}

/** Rows of A L⁻¹, which maps a normal of covariance L Lᵀ onto one of A Aᵀ; the factors are packed. */
export function mapBetween(before: Float64Array, after: Float64Array, n: number): readonly Float64Array[] {
  return Array.from({ length: n }, (_, i) => {
    const row = new Float64Array(n);
    row.set(after.subarray(packedLength(i), packedLength(i + 1)));
    solveUpper(before, n, row);
    return row;
  });
}

/** Packed M S Mᵀ. */
function image(rows: readonly Float64Array[], covariance: Float64Array): Float64Array {
  const n = rows[0].length;
  const result = new Float64Array(packedLength(rows.length));
  rows.forEach((row, i) => {
    const half = new Float64Array(n);
    for (let k = 0; k < n; k++)
      for (let m = 0; m <= k; m++) {
        const entry = covariance[packedLength(k) + m];
        half[m] += row[k] * entry;
        if (m < k) half[k] += row[m] * entry;
      }
    for (let j = 0; j <= i; j++) result[packedLength(i) + j] = dot(half, rows[j]);
  });
  return result;
}

function precisionFactorOf(covariance: Float64Array, n: number): Float64Array {
  return factorOf(inverse(factorOf(covariance, n), n), n);
}
