import { describe, expect, it } from 'vitest';
import { inverse } from '../../src/inference/cholesky.ts';
import { drawCoefficients, drawPredictors, predictorMoments } from '../../src/inference/predict.ts';
import { standardNormals } from '../../src/inference/random.ts';
import { sparseRows } from '../../src/inference/sparse.ts';
import { coefficientSummary } from '../../src/inference/summary.ts';
import { groupedProblem } from './grouped-problem.ts';
import { fitted } from './support.ts';

const posterior = fitted(groupedProblem('censored', 60, 21));
const ROWS = sparseRows(11, [
  [
    [0, 1],
    [1, 0.5],
    [3, 1],
    [8, 1],
  ],
  [
    [0, 1],
    [2, 1],
    [4, 1],
    [8, 1],
  ],
  [
    [0, 1],
    [1, -1],
    [3, 1],
    [9, 1],
  ],
]);
const N = 40_000;

describe('identity: predictors over the mixture', () => {
  const { mean, variance, covariance } = predictorMoments(posterior, ROWS);

  it('has the moments that the full covariance of every point gives', () => {
    const x = dense(0);
    const y = dense(2);
    let first = 0;
    let product = 0;
    for (const point of posterior.points) {
      const full = inverse(point.precisionFactor, 11);
      const at = (a: number[], b: number[]): number =>
        a.reduce(
          (sum, left, i) => sum + left * b.reduce((inner, right, j) => inner + right * full[packed(i, j)], 0),
          0,
        );
      const centre = (a: number[]): number => a.reduce((sum, value, j) => sum + value * point.mode[j], 0);
      first += point.weight * centre(x);
      product += point.weight * (at(x, y) + centre(x) * centre(y));
    }
    expect(mean[0]).toBeCloseTo(first, 12);
    expect(covariance[packed(2, 0)]).toBeCloseTo(product - mean[0] * mean[2], 12);
    expect(variance[1]).toBe(covariance[packed(1, 1)]);
  });

  it('draws with these moments, to five standard errors', () => {
    const { eta } = drawPredictors(posterior, ROWS, standardNormals(3, 3 * N), N);
    for (let i = 0; i < 3; i++) {
      const own = eta.subarray(i * N, (i + 1) * N);
      const centre = average(own, (value) => value);
      expect(Math.abs(centre - mean[i])).toBeLessThan(5 * Math.sqrt(variance[i] / N));
      for (let j = 0; j < 3; j++) {
        const other = eta.subarray(j * N, (j + 1) * N);
        const product = average(own, (value, d) => (value - mean[i]) * (other[d] - mean[j]));
        expect(Math.abs(product - covariance[packed(i, j)])).toBeLessThan(
          5 * Math.sqrt((2.5 * variance[i] * variance[j]) / N),
        );
      }
    }
  });

  it('gives draws of coefficients the same moments', () => {
    const { coefficients } = drawCoefficients(posterior, standardNormals(4, 11 * N), N);
    const x = dense(1);
    const sums = Float64Array.from({ length: N }, (_, d) =>
      x.reduce((sum, value, j) => sum + value * coefficients[j * N + d], 0),
    );
    const centre = average(sums, (value) => value);
    expect(Math.abs(centre - mean[1])).toBeLessThan(5 * Math.sqrt(variance[1] / N));
    expect(Math.abs(average(sums, (value) => (value - centre) ** 2) / variance[1] - 1)).toBeLessThan(
      5 * Math.sqrt(2.5 / N),
    );
  });
});

describe('identity: draws', () => {
  const normals = standardNormals(3, 3 * 1000);
  const draws = drawPredictors(posterior, ROWS, normals, 1000);

  it('allots draws to points by weight, to within one', () => {
    posterior.points.forEach((point, k) => {
      expect(Math.abs(draws.point.filter((value) => value === k).length - 1000 * point.weight)).toBeLessThan(1);
    });
  });

  it('carries the sigma of its point on every draw', () => {
    draws.point.forEach((k, d) => {
      expect(draws.sigma[d]).toBe(posterior.points[k].sigma);
    });
  });

  it('shuffles the points: the first half of the draws has them in their shares', () => {
    const half = draws.point.subarray(0, 500);
    const first = half.filter((value) => value === 0).length / 500;
    expect(Math.abs(first - posterior.points[0].weight)).toBeLessThan(0.07);
  });

  it('repeats to the last digit, and keeps the draws of the first rows when a row is added', () => {
    expect(drawPredictors(posterior, ROWS, normals, 1000)).toEqual(draws);
    const longer = sparseRows(
      11,
      [0, 1, 2, 0].map((row) => entries(row)),
    );
    const { eta } = drawPredictors(posterior, longer, standardNormals(3, 4 * 1000), 1000);
    expect(eta.subarray(0, 3000)).toEqual(draws.eta);
    // the fourth row is the first again: its covariance is singular, its draws are the first row's
    for (let d = 0; d < 1000; d++) expect(eta[3000 + d]).toBeCloseTo(eta[d], 6);
  });

  it('takes a row of nothing as exactly zero', () => {
    const { eta } = drawPredictors(posterior, sparseRows(11, [[], [[0, 1]]]), normals, 100);
    expect(eta.subarray(0, 100).every((value) => value === 0)).toBe(true);
  });

  it('refuses too few normals', () => {
    expect(() => drawPredictors(posterior, ROWS, normals, 1001)).toThrow(
      /normals has 3000 entries: draws times dimensions, 3003/,
    );
  });
});

describe('identity: the summary of coefficients', () => {
  it('agrees with the moments of single coefficients and with the quantiles of their draws', () => {
    const { coefficients } = coefficientSummary(posterior);
    const single = predictorMoments(posterior, sparseRows(11, [[[1, 1]], [[8, 1]]]));
    expect(coefficients[1].mean).toBeCloseTo(single.mean[0], 12);
    expect(coefficients[8].sd).toBeCloseTo(Math.sqrt(single.variance[1]), 12);
    const drawn = drawCoefficients(posterior, standardNormals(5, 11 * N), N).coefficients.subarray(8 * N, 9 * N);
    const share = (value: number): number => drawn.filter((draw) => draw < value).length / N;
    expect(share(coefficients[8].p05)).toBeCloseTo(0.05, 2);
    expect(share(coefficients[8].p50)).toBeCloseTo(0.5, 1.7);
    expect(share(coefficients[8].p95)).toBeCloseTo(0.95, 2);
  });
});

function entries(row: number): [number, number][] {
  return dense(row)
    .map((value, column): [number, number] => [column, value])
    .filter(([, value]) => value !== 0);
}

function dense(row: number): number[] {
  const result = new Array<number>(11).fill(0);
  for (let k = ROWS.rowStart[row]; k < ROWS.rowStart[row + 1]; k++) result[ROWS.column[k]] = ROWS.value[k];
  return result;
}

function average(values: Float64Array, of: (value: number, index: number) => number): number {
  let sum = 0;
  values.forEach((value, index) => {
    sum += of(value, index);
  });
  return sum / values.length;
}

function packed(i: number, j: number): number {
  return (Math.max(i, j) * (Math.max(i, j) + 1)) / 2 + Math.min(i, j);
}
