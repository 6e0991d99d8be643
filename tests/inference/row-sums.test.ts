import { describe, expect, it } from 'vitest';
import { packedLength } from '../../src/inference/cholesky.ts';
import { randomGenerator } from '../../src/inference/random.ts';
import { addRowSums, rowLeverages } from '../../src/inference/row-sums.ts';
import { sparseRows } from '../../src/inference/sparse.ts';

const N = 9;
/** Whole numbers, so that sums are exact in any order; 0 to 9 entries a row. */
const generator = randomGenerator(5);
const whole = (): number => generator.integer(9) - 4;
const dense = Array.from({ length: 60 }, (_, i) =>
  Array.from({ length: N }, () => (generator.integer(9) < i % (N + 1) ? whole() || 1 : 0)),
);
const rows = sparseRows(
  N,
  dense.map((row) => row.map((value, j) => [j, value] as const)),
);
/** Out of order, some left out. */
const which = Int32Array.from({ length: 40 }, (_, k) => (k * 7) % 60);

describe('identity: sums over sparse rows', () => {
  it('are the products of the dense matrix, added to what was there', () => {
    const column = (): Float64Array => Float64Array.from(which, whole);
    const weights = { slope: column(), slopeBySigma: column(), curvature: column() };
    const sums = {
      gradient: new Float64Array(N).fill(3),
      gradientBySigma: new Float64Array(N).fill(-2),
      precision: new Float64Array(packedLength(N)).fill(1),
    };
    addRowSums(rows, which, weights, sums);
    const total = (term: (row: readonly number[], k: number) => number): number =>
      which.reduce((sum, i, k) => sum + term(dense[i], k), 0);
    for (let i = 0; i < N; i++) {
      expect(sums.gradient[i]).toBe(3 + total((row, k) => weights.slope[k] * row[i]));
      expect(sums.gradientBySigma[i]).toBe(-2 + total((row, k) => weights.slopeBySigma[k] * row[i]));
      for (let j = 0; j <= i; j++)
        expect(sums.precision[packedLength(i) + j]).toBe(1 + total((row, k) => weights.curvature[k] * row[i] * row[j]));
    }
  });

  it('give each row its quadratic form', () => {
    const packed = Float64Array.from({ length: packedLength(N) }, whole);
    const into = new Float64Array(which.length);
    rowLeverages(rows, which, packed, into);
    const entry = (i: number, j: number): number => packed[packedLength(Math.max(i, j)) + Math.min(i, j)];
    which.forEach((i, k) => {
      let expected = 0;
      dense[i].forEach((left, m) => {
        dense[i].forEach((right, n) => {
          expected += left * right * entry(m, n);
        });
      });
      expect(into[k]).toBe(expected);
    });
  });
});
