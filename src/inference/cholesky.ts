/**
 * Symmetric matrices as their packed lower triangle: row i starts at i(i+1)/2 and holds columns 0..i.
 * All loops run along packed rows, so memory is read in order.
 */
export const packedLength = (n: number): number => (n * (n + 1)) / 2;

/** The n of so many packed entries; not whole where there is none. */
export const packedOrder = (length: number): number => (Math.sqrt(8 * length + 1) - 1) / 2;

/** A pivot this small beside its diagonal says that the column is a combination of those before it: rounding alone leaves about 1e-15. */
const COLLINEAR = 1e-12;

/**
 * Cholesky factor of a packed symmetric matrix, written into `factor` (which may be the matrix itself).
 *
 * **Returns** −1, or the first column that depends on those before it; NaN entries count as such.
 */
export function factorise(matrix: Float64Array, n: number, factor: Float64Array): number {
  for (let i = 0; i < n; i++) {
    const rowI = packedLength(i);
    for (let j = 0; j < i; j++) {
      const rowJ = packedLength(j);
      let sum = matrix[rowI + j];
      for (let k = 0; k < j; k++) sum -= factor[rowI + k] * factor[rowJ + k];
      factor[rowI + j] = sum / factor[rowJ + j];
    }
    const diagonal = matrix[rowI + i];
    let pivot = diagonal;
    for (let k = 0; k < i; k++) pivot -= factor[rowI + k] * factor[rowI + k];
    if (!(pivot > COLLINEAR * diagonal && pivot < Number.POSITIVE_INFINITY)) return i;
    factor[rowI + i] = Math.sqrt(pivot);
  }
  return -1;
}

/** The factor of a matrix that has to be positive definite. Throws where it is not, with the column. */
export function factorOf(matrix: Float64Array, n: number): Float64Array {
  const factor = new Float64Array(packedLength(n));
  const column = factorise(matrix, n, factor);
  if (column >= 0) throw new Error(`column ${column} of ${n} depends on those before it`);
  return factor;
}

/**
 * Factor of a covariance that may have rank less than n (the same predictor twice, no spread at all): a vanishing pivot gives an empty column.
 * Packed into `factor` from `at` on: for very many small ones, where a new array for each would take longer than the arithmetic.
 */
export function factoriseSemidefinite(
  matrix: Float64Array,
  n: number,
  factor = new Float64Array(packedLength(n)),
  at = 0,
): Float64Array {
  for (let i = 0; i < n; i++) {
    const rowI = packedLength(i);
    let pivot = matrix[rowI + i];
    for (let j = 0; j < i; j++) {
      const rowJ = packedLength(j);
      let sum = matrix[rowI + j];
      for (let k = 0; k < j; k++) sum -= factor[at + rowI + k] * factor[at + rowJ + k];
      const diagonal = factor[at + rowJ + j];
      const entry = diagonal > 0 ? sum / diagonal : 0;
      factor[at + rowI + j] = entry;
      pivot -= entry * entry;
    }
    factor[at + rowI + i] = pivot > COLLINEAR * matrix[rowI + i] ? Math.sqrt(pivot) : 0;
  }
  return factor;
}

/** Solves L z = x in place; entries of x before `from` are known to be zero. */
export function solveLower(factor: Float64Array, n: number, x: Float64Array, from = 0): void {
  for (let i = from; i < n; i++) {
    const row = packedLength(i);
    let sum = x[i];
    for (let k = from; k < i; k++) sum -= factor[row + k] * x[k];
    x[i] = sum / factor[row + i];
  }
}

/** Solves Lᵀ x = z in place. */
export function solveUpper(factor: Float64Array, n: number, x: Float64Array): void {
  for (let i = n - 1; i >= 0; i--) {
    const row = packedLength(i);
    const value = x[i] / factor[row + i];
    x[i] = value;
    for (let k = 0; k < i; k++) x[k] -= factor[row + k] * value;
  }
}

export function solve(factor: Float64Array, n: number, x: Float64Array): void {
  solveLower(factor, n, x);
  solveUpper(factor, n, x);
}

/** log |L Lᵀ|. */
export function logDeterminant(factor: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += Math.log(factor[packedLength(i) + i]);
  return 2 * sum;
}

/** (L Lᵀ)⁻¹, packed. */
export function inverse(factor: Float64Array, n: number): Float64Array {
  const lowerInverse = invertLower(factor, n);
  const result = new Float64Array(packedLength(n));
  for (let k = 0; k < n; k++) {
    const rowK = packedLength(k);
    for (let i = 0; i <= k; i++) {
      const scale = lowerInverse[rowK + i];
      const rowI = packedLength(i);
      for (let j = 0; j <= i; j++) result[rowI + j] += scale * lowerInverse[rowK + j];
    }
  }
  return result;
}

/** Symmetric product y = A x of a packed matrix. */
export function multiply(matrix: Float64Array, n: number, x: Float64Array): Float64Array {
  const y = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const row = packedLength(i);
    let sum = 0;
    for (let j = 0; j < i; j++) {
      sum += matrix[row + j] * x[j];
      y[j] += matrix[row + j] * x[i];
    }
    y[i] += sum + matrix[row + i] * x[i];
  }
  return y;
}

/** tr(A B) of two packed symmetric matrices. */
export function traceOfProduct(a: Float64Array, b: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) {
    const row = packedLength(i);
    for (let j = 0; j < i; j++) sum += 2 * a[row + j] * b[row + j];
    sum += a[row + i] * b[row + i];
  }
  return sum;
}

function invertLower(factor: Float64Array, n: number): Float64Array {
  const result = new Float64Array(packedLength(n));
  for (let i = 0; i < n; i++) {
    const row = packedLength(i);
    const pivot = factor[row + i];
    for (let k = 0; k < i; k++) {
      const scale = -factor[row + k] / pivot;
      const rowK = packedLength(k);
      for (let j = 0; j <= k; j++) result[row + j] += scale * result[rowK + j];
    }
    result[row + i] = 1 / pivot;
  }
  return result;
}
