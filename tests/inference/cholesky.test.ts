import { describe, expect, it } from 'vitest';
import {
  factorise,
  factoriseSemidefinite,
  inverse,
  logDeterminant,
  multiply,
  packedLength,
  solve,
  solveLower,
  traceOfProduct,
} from '../../src/inference/cholesky.ts';
import { randomGenerator } from '../../src/inference/random.ts';

const N = 7;
const MATRIX = positiveDefinite(N);
const FACTOR = new Float64Array(MATRIX.length);
const STATUS = factorise(MATRIX, N, FACTOR);

describe('identity: the packed factor', () => {
  it('gives the matrix back, and solves, inverts and traces with it', () => {
    expect(STATUS).toBe(-1);
    expectClose(product(FACTOR), MATRIX);
    const x = Float64Array.from({ length: N }, (_, i) => i - 2.5);
    const b = multiply(MATRIX, N, x);
    solve(FACTOR, N, b);
    expectClose(b, x);
    const inverted = inverse(FACTOR, N);
    expectClose(multiply(inverted, N, multiply(MATRIX, N, x)), x);
    expect(traceOfProduct(MATRIX, inverted, N)).toBeCloseTo(N, 10);
  });

  it('may overwrite the matrix', () => {
    const copy = MATRIX.slice();
    factorise(copy, N, copy);
    expect(copy).toEqual(FACTOR);
  });

  it('has the determinant of [4 2; 2 3]: 8', () => {
    const small = new Float64Array(3);
    factorise(Float64Array.of(4, 2, 3), 2, small);
    expect(logDeterminant(small, 2)).toBeCloseTo(Math.log(8), 14);
  });

  it('skips the leading zeros of a right-hand side with the same answer', () => {
    const full = new Float64Array(N);
    full[4] = 2;
    const skipping = full.slice();
    solveLower(FACTOR, N, full);
    solveLower(FACTOR, N, skipping, 4);
    expect(skipping).toEqual(full);
  });

  it('names the first dependent column', () => {
    // the third column is the sum of the first two
    expect(factorise(Float64Array.of(2, 1, 3, 3, 4, 7), 3, new Float64Array(6))).toBe(2);
    expect(factorise(Float64Array.of(0), 1, new Float64Array(1))).toBe(0);
    expect(factorise(Float64Array.of(1, Number.NaN, 1), 2, new Float64Array(3))).toBe(1);
  });

  it('gives back a covariance of less than full rank', () => {
    const singular = Float64Array.of(2, 1, 3, 3, 4, 7, 0, 0, 0, 0);
    expectClose(product(factoriseSemidefinite(singular, 4)), singular);
    expect(factoriseSemidefinite(new Float64Array(3), 2).every((value) => value === 0)).toBe(true);
  });
});

function positiveDefinite(n: number): Float64Array {
  const generator = randomGenerator(12);
  const lower = Float64Array.from({ length: packedLength(n) }, () => generator.normal());
  const matrix = product(lower);
  for (let i = 0; i < n; i++) matrix[packedLength(i) + i] += 1;
  return matrix;
}

/** L Lᵀ. */
function product(lower: Float64Array): Float64Array {
  const n = Math.floor(Math.sqrt(2 * lower.length));
  const result = new Float64Array(lower.length);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      for (let k = 0; k <= j; k++)
        result[packedLength(i) + j] += lower[packedLength(i) + k] * lower[packedLength(j) + k];
    }
  }
  return result;
}

function expectClose(values: Float64Array, expected: Float64Array): void {
  expect(values).toHaveLength(expected.length);
  values.forEach((value, k) => {
    expect(value).toBeCloseTo(expected[k], 11);
  });
}
