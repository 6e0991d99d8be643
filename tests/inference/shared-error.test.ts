import { describe, expect, it } from 'vitest';
import { factorOf, solveLower } from '../../src/inference/cholesky.ts';
import { likelihoodParts } from '../../src/inference/likelihood.ts';
import { independentRows, runsOf } from '../../src/inference/shared-error.ts';
import { rowDot } from '../../src/inference/sparse.ts';
import type { RegressionProblem } from '../../src/inference/types.ts';
import { exactly, smallProblem } from './support.ts';

const keys = ['a', 'b', 'b', 'b', 'c', 'd', 'd'];
const problem = smallProblem({
  design: [
    [1, 0.3],
    [1, 0],
    [1, 1],
    [1, -0.4],
    [1, 0.7],
    [1, 0.2],
    [0.5, 2],
  ],
  ends: exactly([0.1, 0.7, -0.2, 0.4, 1.1, -0.3, 0.6]),
  offset: [0, 0.2, -0.1, 0.3, 0, 0.5, 0.1],
  addedVariance: [0.04, 0.02, 0.05, 0.09, 0.01, 0.03, 0.2],
});
const apart: RegressionProblem = {
  ...problem,
  ...independentRows(problem.rows, problem.observations, runsOf(keys)),
};

/** log N(y; offset + X b, D + sigma² by run), in full. */
function jointLogDensity(coefficients: Float64Array, sigma: number): number {
  const { rows, observations } = problem;
  const n = rows.nRows;
  const packed = new Float64Array((n * (n + 1)) / 2);
  for (let i = 0, at = 0; i < n; i++)
    for (let j = 0; j <= i; j++, at++)
      packed[at] = (keys[i] === keys[j] ? sigma ** 2 : 0) + (i === j ? (observations.addedVariance?.[i] ?? 0) : 0);
  const factor = factorOf(packed, n);
  const z = Float64Array.from({ length: n }, (_, i) => {
    return observations.lower[i] - observations.offset[i] - rowDot(rows, i, coefficients);
  });
  solveLower(factor, n, z);
  let log = -0.5 * n * Math.log(2 * Math.PI);
  for (let i = 0; i < n; i++) log -= Math.log(factor[(i * (i + 1)) / 2 + i]) + 0.5 * z[i] ** 2;
  return log;
}

function sums(of: RegressionProblem, coefficients: Float64Array, sigma: number) {
  const into = {
    gradient: new Float64Array(2),
    precision: new Float64Array(3),
    bySigma: 0,
    gradientBySigma: new Float64Array(2),
  };
  const log = likelihoodParts(of).reduce((sum, part) => sum + part.addTo(coefficients, sigma, into), 0);
  return { log, ...into };
}

describe('identity: rows that share an error', () => {
  it.each([
    [0, 0, 0.3],
    [0.4, -0.2, 0.08],
    [-0.3, 0.9, 1.2],
  ])('set apart have the joint normal density of the run: b = %d, %d, sigma = %d', (first, second, sigma) => {
    const coefficients = Float64Array.of(first, second);
    expect(sums(apart, coefficients, sigma).log).toBeCloseTo(jointLogDensity(coefficients, sigma), 10);
  });

  it('are those of before where no two share one', () => {
    const each = independentRows(problem.rows, problem.observations, runsOf(['a', 'b', 'c', 'd', 'e', 'f', 'g']));
    expect(each.rows).toBe(problem.rows);
    expect(each.observations).toBe(problem.observations);
  });

  it('are exact: of an interval there is no mean', () => {
    const upper = problem.observations.upper.map((end, row) => (row === 2 ? end + 1 : end));
    expect(() => independentRows(problem.rows, { ...problem.observations, upper }, runsOf(keys))).toThrow(/row 2/);
  });
});

describe('identity: a row with a quarter of sigma²', () => {
  const { addedVariance: _, ...observations } = problem.observations;
  const quarter = { ...problem, observations: { ...observations, ofSigma2: new Float64Array(7).fill(0.25) } };

  it('has half of sigma for its scale, exact or in an interval, also without a variance of its own', () => {
    const at = Float64Array.of(0.2, 0.1);
    expect(sums(quarter, at, 0.5).log).toBeCloseTo(sums({ ...problem, observations }, at, 0.25).log, 12);
    const upper = observations.upper.map((end) => end + 0.3);
    const [wide, wideQuarter] = [observations, quarter.observations].map((of) => ({
      ...problem,
      observations: { ...of, upper },
    }));
    expect(sums(wideQuarter, at, 0.5).log).toBeCloseTo(sums(wide, at, 0.25).log, 12);
  });

  it('is refused with Student errors, whose curvature is one for all', () => {
    expect(() => likelihoodParts({ ...quarter, error: { kind: 'student-t', degreesOfFreedom: 4 } })).toThrow(/row 0/);
  });
});

describe('gradient: a row without a part in sigma', () => {
  it('is that of central differences, by the coefficients and by log sigma', () => {
    const [at, sigma, h] = [Float64Array.of(0.2, 0.1), 0.25, 1e-5];
    const { gradient, bySigma } = sums(apart, at, sigma);
    const along = (log: (h: number) => number) => (log(h) - log(-h)) / (2 * h);
    for (const column of [0, 1]) {
      const moved = (by: number) => at.map((value, j) => value + (j === column ? by : 0));
      expect(gradient[column]).toBeCloseTo(
        along((by) => sums(apart, moved(by), sigma).log),
        6,
      );
    }
    expect(bySigma).toBeCloseTo(
      along((by) => sums(apart, at, sigma * Math.exp(by)).log),
      6,
    );
  });
});
