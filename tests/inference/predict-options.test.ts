import { describe, expect, it } from 'vitest';
import { drawPredictors, predictorMoments } from '../../src/inference/predict.ts';
import { drawByOption } from '../../src/inference/predict-options.ts';
import { standardNormals } from '../../src/inference/random.ts';
import { sparseRows } from '../../src/inference/sparse.ts';
import { exactly, fitted, smallProblem } from './support.ts';

const posterior = fitted(
  smallProblem({
    design: [
      [1, 0, 1],
      [1, 1, 2],
      [1, 0, 3],
      [1, 1, 4],
      [1, 0, 6],
      [1, 1, 5],
    ],
    ends: exactly([0.9, 2.2, 3.1, 4.3, 5.8, 5.4]),
    mean: [0, 0, 0],
    sd: [2, 2, 2],
  }),
);
const rows = sparseRows(3, [
  [
    [0, 1],
    [2, 2],
  ],
  [[1, 1]],
  [
    [0, 1],
    [1, 1],
    [2, 4],
  ],
]);
const nDraws = 40_000;
const normals = standardNormals(5, 2 * nDraws);
const parts = sparseRows(3, [
  [
    [0, 1],
    [2, 2],
  ],
  [[1, 1]],
  [[2, 1]],
]);
/** By option: the first two rows, and the last with the second, which is in both sums. */
const sums = sparseRows(3, [
  [[0, 1]],
  [[1, 1]],
  [
    [0, 1],
    [1, 1],
    [2, 2],
  ],
  [[1, 1]],
]);
const predictors = { parts, sums, size: 2 };
const rowsOf = [
  [0, 1],
  [2, 1],
];
const option = new Uint16Array(nDraws).map((_, d) => d % 2);

describe('identity: draws by option', () => {
  const draws = drawByOption(posterior, predictors, option, normals);
  const moments = predictorMoments(posterior, rows);

  it.each([0, 1])('option %i has the mean and covariance of its own rows', (o) => {
    const [first, second] = draws.eta.map((eta) => eta.filter((_, d) => option[d] === o));
    const [a, b] = rowsOf[o];
    // Five standard errors of 20,000 draws.
    expect(Math.abs(mean(first) - moments.mean[a])).toBeLessThan(5 * Math.sqrt(moments.variance[a] / 20_000));
    expect(Math.abs(covariance(first, first) / moments.variance[a] - 1)).toBeLessThan(0.05);
    const between = moments.covariance[(Math.max(a, b) * (Math.max(a, b) + 1)) / 2 + Math.min(a, b)];
    const scale = Math.sqrt((moments.variance[a] * moments.variance[b]) / 20_000);
    expect(Math.abs(covariance(first, second) - between)).toBeLessThan(5 * Math.SQRT2 * scale);
  });

  it('with one option and no shift has the moments and points of drawing the rows', () => {
    const two = sparseRows(3, [
      [
        [0, 1],
        [2, 2],
      ],
      [[1, 1]],
    ]);
    const single = { parts: two, sums: sparseRows(2, [[[0, 1]], [[1, 1]]]), size: 2 };
    const byOption = drawByOption(posterior, single, new Uint16Array(nDraws), normals);
    const plain = drawPredictors(posterior, two, normals, nDraws);
    expect(byOption.sigma).toEqual(plain.sigma);
    expect(Math.abs(mean(byOption.eta[0]) - mean(plain.eta.slice(0, nDraws)))).toBeLessThan(0.02);
  });

  it('a shift turns the order of the design points and nothing else', () => {
    const turned = drawByOption(posterior, predictors, option, normals, 100);
    expect(turned.sigma).not.toEqual(draws.sigma);
    expect(turned.sigma.slice(100)).toEqual(draws.sigma.slice(0, nDraws - 100));
  });

  it('refuses too few normals', () => {
    expect(() => drawByOption(posterior, predictors, option, normals.subarray(1))).toThrow(RangeError);
  });
});

function mean(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function covariance(a: Float64Array, b: Float64Array): number {
  const [meanA, meanB] = [mean(a), mean(b)];
  return a.reduce((sum, value, d) => sum + (value - meanA) * (b[d] - meanB), 0) / a.length;
}
