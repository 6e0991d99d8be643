import { describe, expect, it } from 'vitest';
import { sparseRows } from '../../src/inference/sparse.ts';
import { givenReadings, type WaterForecast } from '../../src/models/water-forecast.ts';

/** Of coefficients with mean (0.2, −0.1) and covariance ((0.3, 0.1), (0.1, 0.2)). */
const meanSigma2 = 0.15;
const forecast = {
  layout: { terms: ['a', 'b'], technicians: [], machines: undefined },
  mean: Float64Array.of(0.2, -0.1),
  covariance: Float64Array.of(0.3, 0.1, 0.2),
  meanSigma2,
} as unknown as WaterForecast;

describe('identity: the water model once a job’s sections are seen', () => {
  it('is the joint normal’s, in which both share the job’s error', () => {
    const [x, y, own] = [
      [
        [1, 0.5],
        [1, -0.4],
      ],
      [0.9, 0.5],
      [0.04, 0.09],
    ];
    const read = {
      refs: ['j', 'j'],
      rows: sparseRows(
        2,
        x.map(([a, b]) => [
          [0, a],
          [1, b],
        ]),
      ),
      observations: {
        ...{ lower: Float64Array.from(y), upper: Float64Array.from(y), offset: new Float64Array(2) },
        addedVariance: Float64Array.from(own),
      },
    };
    const { mean, covariance } = givenReadings(forecast, read);

    const c = [
      [0.3, 0.1],
      [0.1, 0.2],
    ];
    const cx = c.map((row) => x.map(([a, b]) => row[0] * a + row[1] * b)); // C Xᵀ, 2 × 2
    const v = x.map(([a, b], i) =>
      [0, 1].map((j) => a * cx[0][j] + b * cx[1][j] + meanSigma2 + (i === j ? own[i] : 0)),
    );
    const det = v[0][0] * v[1][1] - v[0][1] * v[1][0];
    const inverse = [
      [v[1][1] / det, -v[0][1] / det],
      [-v[1][0] / det, v[0][0] / det],
    ];
    const gain = cx.map((row) => [0, 1].map((j) => row[0] * inverse[0][j] + row[1] * inverse[1][j]));
    const off = x.map(([a, b], i) => y[i] - (0.2 * a - 0.1 * b));
    const expected = [0.2, -0.1].map((one, i) => one + gain[i][0] * off[0] + gain[i][1] * off[1]);
    for (const i of [0, 1]) expect(mean[i]).toBeCloseTo(expected[i], 12);
    const left = (i: number, j: number) => c[i][j] - gain[i][0] * cx[j][0] - gain[i][1] * cx[j][1];
    expect([...covariance].map((one) => one.toFixed(12))).toEqual(
      [left(0, 0), left(1, 0), left(1, 1)].map((one) => one.toFixed(12)),
    );
  });
});
