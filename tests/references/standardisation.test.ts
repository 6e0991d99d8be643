import { describe, expect, it } from 'vitest';
import { predictorMoments } from '../../src/inference/predict.ts';
import { sparseRows } from '../../src/inference/sparse.ts';
import { digits, exactly, fitted, smallProblem } from '../inference/support.ts';

// Henderson and Velleman 1981, the mtcars data of R's datasets package: mpg, am, wt, hp.
const cars: readonly (readonly [mpg: number, am: number, wt: number, hp: number])[] = [
  [21, 1, 2.62, 110],
  [21, 1, 2.875, 110],
  [22.8, 1, 2.32, 93],
  [21.4, 0, 3.215, 110],
  [18.7, 0, 3.44, 175],
  [18.1, 0, 3.46, 105],
  [14.3, 0, 3.57, 245],
  [24.4, 0, 3.19, 62],
  [22.8, 0, 3.15, 95],
  [19.2, 0, 3.44, 123],
  [17.8, 0, 3.44, 123],
  [16.4, 0, 4.07, 180],
  [17.3, 0, 3.73, 180],
  [15.2, 0, 3.78, 180],
  [10.4, 0, 5.25, 205],
  [10.4, 0, 5.424, 215],
  [14.7, 0, 5.345, 230],
  [32.4, 1, 2.2, 66],
  [30.4, 1, 1.615, 52],
  [33.9, 1, 1.835, 65],
  [21.5, 0, 2.465, 97],
  [15.5, 0, 3.52, 150],
  [15.2, 0, 3.435, 150],
  [13.3, 0, 3.84, 245],
  [19.2, 0, 3.845, 175],
  [27.3, 1, 1.935, 66],
  [26, 1, 2.14, 91],
  [30.4, 1, 1.513, 113],
  [15.8, 1, 3.17, 264],
  [19.7, 1, 2.77, 175],
  [15, 1, 3.57, 335],
  [21.4, 1, 2.78, 109],
];

// R 4.2.2: m <- lm(mpg ~ am * wt + hp, mtcars); mean(predict(m, transform(mtcars, am = a))) for a = 0, 1;
// the standard error of the difference by the delta method from vcov(m).
const inR = { manual: 18.9447157403, automatic: 18.9009330695, difference: 0.0437826708, standardError: 1.5089404783 };

const weight = mean(cars.map(([, , wt]) => wt));
const power = mean(cars.map(([, , , hp]) => hp));
/** Centred, as a caller should do. */
const row = (am: number, wt: number, hp: number) => [1, am, wt - weight, (hp - power) / 100, am * (wt - weight)];

const posterior = fitted(
  smallProblem({ design: cars.map(([, am, wt, hp]) => row(am, wt, hp)), ends: exactly(cars.map(([mpg]) => mpg)) }),
  { estimate: 'reml' },
);

/** The mean linear predictor over all cars as if each had this gearbox: one row, the average of theirs. */
function standardised(am: number): number[] {
  const rows = cars.map(([, , wt, hp]) => row(am, wt, hp));
  return rows[0].map((_, column) => mean(rows.map((values) => values[column])));
}

function moments(values: readonly number[]) {
  const rows = sparseRows(values.length, [values.map((value, column) => [column, value] as const)]);
  const { mean: means, variance } = predictorMoments(posterior, rows);
  return { mean: means[0], sd: Math.sqrt(variance[0]) };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

describe('reference: standardisation by g-computation, against R', () => {
  const [manual, automatic] = [standardised(1), standardised(0)];

  it('gives the standardised means to nine digits', () => {
    expect(digits(moments(manual).mean, inR.manual)).toBeGreaterThan(9);
    expect(digits(moments(automatic).mean, inR.automatic)).toBeGreaterThan(9);
  });

  it('gives their difference and its standard error', () => {
    const difference = moments(manual.map((value, column) => value - automatic[column]));
    // A small difference of large means: seven digits of it are nine of theirs.
    expect(digits(difference.mean, inR.difference)).toBeGreaterThan(6.5);
    expect(digits(difference.sd, inR.standardError)).toBeGreaterThan(7);
  });
});

// Hernán and Robins, Causal Inference: What If, table 2.2, twenty people (data from memory): [stratum L, treated A, n, events].
const strata = [
  { l: 0, treated: { n: 4, events: 1 }, untreated: { n: 4, events: 1 } },
  { l: 1, treated: { n: 9, events: 6 }, untreated: { n: 3, events: 2 } },
];

describe('reference: standardisation of a table, against What If', () => {
  it('turns unlike crude risks, 7/13 and 3/7, into like standardised ones, 1/2 and 1/2', () => {
    const total = strata.reduce((sum, { treated, untreated }) => sum + treated.n + untreated.n, 0);
    // A saturated model over the strata: each group's risk within a stratum, averaged over everybody.
    const design = strata.flatMap(({ l, treated, untreated }) => [
      ...Array.from({ length: treated.n }, (_, i) => ({ x: [1, l, 1, l], y: i < treated.events ? 1 : 0 })),
      ...Array.from({ length: untreated.n }, (_, i) => ({ x: [1, l, 0, 0], y: i < untreated.events ? 1 : 0 })),
    ]);
    const crude = (a: number) => mean(design.filter(({ x }) => x[2] === a).map(({ y }) => y));
    expect(crude(1)).toBeCloseTo(7 / 13, 12);
    expect(crude(0)).toBeCloseTo(3 / 7, 12);
    const fit = fitted(smallProblem({ design: design.map(({ x }) => x), ends: exactly(design.map(({ y }) => y)) }), {
      estimate: 'reml',
    });
    const standard = (a: number) => {
      const average = [1, mean(design.map(({ x }) => x[1])), a, a * mean(design.map(({ x }) => x[1]))];
      return predictorMoments(fit, sparseRows(4, [average.map((value, column) => [column, value] as const)])).mean[0];
    };
    expect(total).toBe(20);
    expect(standard(1)).toBeCloseTo(0.5, 9);
    expect(standard(0)).toBeCloseTo(0.5, 9);
  });
});
