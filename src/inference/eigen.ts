/** Quadratic convergence: four to six suffice at any size used here. */
const MAX_SWEEPS = 30;

export interface Eigen {
  /** Ascending. */
  readonly values: Float64Array;
  /** Row-major, the k-th eigenvector of length one in column k; its sign is left as it falls. */
  readonly vectors: Float64Array;
}

/**
 * Eigenvalues and eigenvectors of a small symmetric matrix (m × m, row-major) by Jacobi's rotations: each makes one pair of entries zero, sweep
 * after sweep over all pairs, until what is beside the diagonal is below the rounding of what is on it.
 *
 * **Source** G. H. Golub, C. F. Van Loan, Matrix Computations (2013), section 8.5.
 * **Checked** tests/inference/eigen.test.ts
 */
export function symmetricEigen(matrix: Float64Array, m: number): Eigen {
  const a = matrix.slice();
  const vectors = Float64Array.from({ length: m * m }, (_, k) => (k % (m + 1) === 0 ? 1 : 0));
  for (let sweep = 0; sweep < MAX_SWEEPS && besideDiagonal(a, m) > 0; sweep++) {
    for (let p = 0; p < m; p++) for (let q = p + 1; q < m; q++) rotate(a, vectors, m, p, q);
  }
  const order = Array.from({ length: m }, (_, k) => k).sort((i, j) => a[i * m + i] - a[j * m + j]);
  return {
    values: Float64Array.from(order, (k) => a[k * m + k]),
    vectors: vectors.map((_, k) => vectors[k - (k % m) + order[k % m]]),
  };
}

/** Sum of the sizes beside the diagonal; 0 where all of them vanish beside their diagonals. */
function besideDiagonal(a: Float64Array, m: number): number {
  let sum = 0;
  for (let p = 0; p < m; p++) {
    for (let q = p + 1; q < m; q++) {
      const size = Math.abs(a[p * m + q]);
      if (size > Number.EPSILON * Number.EPSILON * (Math.abs(a[p * m + p]) + Math.abs(a[q * m + q]))) sum += size;
    }
  }
  return sum;
}

function rotate(a: Float64Array, vectors: Float64Array, m: number, p: number, q: number): void {
  const pair = a[p * m + q];
  if (pair === 0) return;
  const half = (a[q * m + q] - a[p * m + p]) / (2 * pair);
  const tangent = (half < 0 ? -1 : 1) / (Math.abs(half) + Math.hypot(half, 1));
  const cosine = 1 / Math.hypot(tangent, 1);
  const sine = tangent * cosine;
  for (let k = 0; k < m; k++) turn(a, k * m + p, k * m + q, cosine, sine);
  for (let k = 0; k < m; k++) turn(a, p * m + k, q * m + k, cosine, sine);
  for (let k = 0; k < m; k++) turn(vectors, k * m + p, k * m + q, cosine, sine);
  a[p * m + q] = 0;
  a[q * m + p] = 0;
}

function turn(a: Float64Array, i: number, j: number, cosine: number, sine: number): void {
  const first = a[i];
  a[i] = cosine * first - sine * a[j];
  a[j] = sine * first + cosine * a[j];
}
