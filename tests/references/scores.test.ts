import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../src/inference/normal.ts';
import {
  crpsLogNormal,
  crpsNormal,
  intervalScore,
  logScoreLogNormal,
  logScoreNormal,
  pinballLoss,
  rankedProbabilityScore,
} from '../../src/inference/scores.ts';
import { crpsEnsemble, crpsOfSorted } from '../../src/inference/scores-ensemble.ts';
import { crpsStudentT, studentTProbability, studentTQuantile } from '../../src/inference/scores-student-t.ts';

const digits = (value: number, expected: number, relative = 1e-12) =>
  expect(Math.abs(value / expected - 1)).toBeLessThan(relative);

describe('reference: CRPS of a normal forecast', () => {
  // Values at N(0, 1): the test-suite of the python package properscoring, whose page gives 0.23369497725510913 and
  // 0.6024413576276163; (0, .1, .4): the example of its documentation. The others: closed form and quadrature of the definition.
  it.each([
    [0, 0, 1, 0.23369497725510913],
    [1, 0, 1, 0.6024413576276163],
    [0, 0.1, 0.4, 0.10339992515976162],
    [2, 0, 1, 1.4527918216859],
    [3, 0, 1, 2.43657472508634],
    [0.5, 0, 1, 0.331403531254856],
    [5, 3, 2, 1.20488271525523],
    [2.4, 2, 0.5, 0.238112442120887],
  ])('at y %d of N(%d, %d²) is %d', (y, mean, sd, expected) => digits(crpsNormal(y, mean, sd), expected));
});

describe('reference: CRPS of a log-normal forecast', () => {
  // Baran and Lerch (2015), the formula as in scoringRules' `crps.lnorm`; values by closed form and quadrature of the definition.
  it.each([
    [1, 0, 1, 0.267405467022694],
    [2, 0, 1, 0.56282175242447],
    [0.5, 0, 1, 0.385580977067747],
    [3, 1, 0.5, 0.350803073660356],
    [5.32, 1.3493, 0.6066, 0.893192892275933],
    [10, 2, 0.3, 1.53967344295998],
  ])('at y %d with %d and %d is %d', (y, meanLog, sdLog, expected) =>
    digits(crpsLogNormal(y, meanLog, sdLog), expected),
  );

  it('at zero and below is the distance and the score of zero', () => {
    const sorted = quantileSample((p) => Math.exp(normalInverse(p)), 20_000);
    expect(crpsLogNormal(0, 0, 1)).toBeCloseTo(crpsOfSorted(sorted, 0), 2);
    digits(crpsLogNormal(-2, 0, 1), 2 + crpsLogNormal(0, 0, 1));
  });
});

describe('reference: CRPS of a Student t forecast', () => {
  // Closed form and quadrature of the definition.
  it.each([
    [0, 5, 0, 1, 0.25702536290065],
    [1, 5, 0, 1, 0.60383056274823],
    [2.5, 9, 1, 0.75, 1.0653142157229],
  ])('at y %d with %d degrees is right', (y, degrees, location, scale, expected) =>
    digits(crpsStudentT(y, degrees, location, scale), expected),
  );

  it('identity: many degrees make it the normal one, four have an elementary distribution function', () => {
    digits(crpsStudentT(0.7, 1e7, 0, 1), crpsNormal(0.7, 0, 1), 1e-6);
    for (const z of [-6, -1.3, -0.2, 0, 0.4, 2.5, 9]) {
      const s = z / Math.sqrt(4 + z * z);
      digits(studentTProbability(z, 4), 0.5 + 0.75 * (s - (s * s * s) / 3), 1e-10);
    }
  });
});

describe('reference: quantiles of Student t', () => {
  // Closed forms: one degree of freedom is Cauchy's tan π(p − ½), of two it is (2p − 1) / √(2p(1 − p)).
  it.each([0.01, 0.3, 0.5, 0.9, 0.95, 0.9995])('at %f', (p) => {
    expect(studentTQuantile(p, 1)).toBeCloseTo(Math.tan(Math.PI * (p - 0.5)), 8);
    expect(studentTQuantile(p, 2)).toBeCloseTo((2 * p - 1) / Math.sqrt(2 * p * (1 - p)), 8);
    expect(studentTQuantile(p, 1e7)).toBeCloseTo(normalQuantile(p), 5);
  });
});

describe('reference: CRPS of an ensemble', () => {
  // {0, 1} at 0: properscoring's tests. The others: E|X − y| − ½E|X − X′| by hand.
  it.each([
    [[1, 2, 3, 4], 2.5, 0.375],
    [[5, 0, 1], 2, 8 / 9],
    [[0, 1], 0, 0.25],
    [[3], 7, 4],
  ])('of %j at %d is %d', (sample, y, expected) => expect(crpsEnsemble(sample, y)).toBeCloseTo(expected, 14));

  it('identity: equals the pairwise definition, and tends to the closed form', () => {
    const sample = [0.3, -1.2, 4, 0.3, 2.2, 9];
    const pairs = sample.flatMap((a) => sample.map((b) => Math.abs(a - b)));
    const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    digits(crpsEnsemble(sample, 1.1), mean(sample.map((x) => Math.abs(x - 1.1))) - mean(pairs) / 2);
    expect(crpsOfSorted(quantileSample(normalInverse, 20_000), 0.8)).toBeCloseTo(crpsNormal(0.8, 0, 1), 4);
  });
});

describe('reference: ranked probability score', () => {
  // Forecasts (.2, .5, .3) and (.2, .3, .5): Wilks' example, as in the documentation of R's verification package.
  it.each([
    [[0.2, 0.5, 0.3], 0, 0.73],
    [[0.2, 0.3, 0.5], 0, 0.89],
  ])('of %j at class %d is %d', (probabilities, observed, expected) =>
    expect(rankedProbabilityScore(probabilities, observed)).toBeCloseTo(expected, 14),
  );

  // Constantinou and Fenton, J. Quant. Anal. Sports 8(1) (2012), table 2, who divide by the classes less one.
  it.each([
    [[0.5, 0.25, 0.25], 0, 0.15625],
    [[0.9, 0.1, 0], 0, 0.005],
    [[0.8, 0.1, 0.1], 0, 0.025],
    [[0.35, 0.3, 0.35], 1, 0.1225],
    [[0.6, 0.25, 0.15], 0, 0.09125],
    [[0.57, 0.33, 0.1], 0, 0.09745],
  ])('of %j at class %d over two is %d', (probabilities, observed, expected) =>
    expect(rankedProbabilityScore(probabilities, observed) / 2).toBeCloseTo(expected, 14),
  );
});

describe('reference: log, pinball and interval scores', () => {
  it('gives the densities', () => {
    digits(logScoreNormal(1, 0, 1), 1.41893853320467);
    digits(logScoreLogNormal(2, 0, 1), 1.85231222072372);
    expect(logScoreLogNormal(0, 0, 1)).toBe(Number.POSITIVE_INFINITY);
  });

  // By hand; at tau .8: the example of a public documentation page.
  it.each([
    [10, 8, 0.9, 1.8],
    [10, 12, 0.9, 0.2],
    [10, 12, 0.1, 1.8],
    [10, 8, 0.8, 1.6],
    [6, 8, 0.8, 0.4],
  ])('pinball of %d against %d at %d is %d', (y, quantile, tau, expected) =>
    expect(pinballLoss(y, quantile, tau)).toBeCloseTo(expected, 14),
  );

  it.each([
    [5, 2, 8, 0.1, 6],
    [9, 2, 8, 0.1, 26],
    [1, 2, 8, 0.2, 16],
  ])('interval score of %d in (%d, %d) at %d is %d', (y, lower, upper, alpha, expected) =>
    expect(intervalScore(y, lower, upper, alpha)).toBeCloseTo(expected, 14),
  );
});

function quantileSample(inverse: (p: number) => number, n: number): Float64Array {
  return Float64Array.from({ length: n }, (_, i) => inverse((i + 0.5) / n));
}

/** Bisection of an independent distribution function: Φ by its series around zero, odd powers over double factorials. */
function normalInverse(p: number): number {
  let low = -9;
  let high = 9;
  for (let i = 0; i < 60; i += 1) {
    const middle = (low + high) / 2;
    if (normalSeries(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function normalSeries(x: number): number {
  let term = x;
  let sum = x;
  for (let k = 3; k < 400; k += 2) {
    term *= (x * x) / k;
    sum += term;
  }
  return 0.5 + (sum * Math.exp(-0.5 * x * x)) / Math.sqrt(2 * Math.PI);
}
