import { describe, expect, it } from 'vitest';
import { symmetricEigen } from '../../src/inference/eigen.ts';
import { randomGenerator } from '../../src/inference/random.ts';

describe('identity: eigenvalues of a symmetric matrix', () => {
  it('are those of the second-difference matrix, 2 − 2 cos(kπ/(m + 1)), in ascending order', () => {
    for (const m of [1, 2, 3, 5]) {
      const matrix = Float64Array.from(
        { length: m * m },
        (_, k) => [2, -1][Math.abs(Math.floor(k / m) - (k % m))] ?? 0,
      );
      const { values } = symmetricEigen(matrix, m);
      values.forEach((value, k) => {
        expect(value).toBeCloseTo(2 - 2 * Math.cos(((k + 1) * Math.PI) / (m + 1)), 14);
      });
    }
  });

  it('put the matrix together again with orthonormal vectors, over twelve orders of magnitude', () => {
    const generator = randomGenerator(1);
    const m = 4;
    const scale = [1, 1e-2, 1e3, 1e6];
    const matrix = new Float64Array(m * m);
    for (let i = 0; i < m; i++) {
      for (let j = 0; j <= i; j++) {
        matrix[i * m + j] = scale[i] * scale[j] * (i === j ? 3 : generator.normal());
        matrix[j * m + i] = matrix[i * m + j];
      }
    }
    const { values, vectors } = symmetricEigen(matrix, m);
    for (let i = 0; i < m; i++) {
      for (let j = 0; j < m; j++) {
        let entry = 0;
        let product = 0;
        for (let k = 0; k < m; k++) {
          entry += values[k] * vectors[i * m + k] * vectors[j * m + k];
          product += vectors[k * m + i] * vectors[k * m + j];
        }
        expect(Math.abs(entry - matrix[i * m + j])).toBeLessThan(1e-14 * 3e12);
        expect(product).toBeCloseTo(i === j ? 1 : 0, 14);
      }
    }
  });
});
