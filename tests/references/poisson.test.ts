import { describe, expect, it } from 'vitest';
import { packedLength } from '../../src/inference/cholesky.ts';
import { poissonRegression } from '../../src/inference/poisson.ts';
import { sparseRows } from '../../src/inference/sparse.ts';

// A. J. Dobson, An Introduction to Statistical Modelling (1983), p. 93, the example of R's help page of glm: a trial of three outcomes and three treatments.
const counts = [18, 17, 15, 20, 10, 20, 25, 13, 12];
/** Intercept, outcome 2, 3, treatment 2, 3. */
const rows = sparseRows(
  5,
  counts.map((_, i) => {
    const [outcome, treatment] = [i % 3, Math.floor(i / 3)];
    const of = [0, ...(outcome > 0 ? [outcome] : []), ...(treatment > 0 ? [2 + treatment] : [])];
    return of.map((column) => [column, 1] as const);
  }),
);

function summary(sd: readonly number[]) {
  const { coefficients, covariance } = poissonRegression(rows, counts, { mean: [0, 0, 0, 0, 0], sd });
  return [...coefficients].map((value, j) => [value, Math.sqrt(covariance[packedLength(j) + j])]);
}

function expectAlike(found: readonly number[][], inR: readonly number[][], errorDigits: number) {
  for (const [j, [value, error]] of inR.entries()) {
    expect(found[j][0]).toBeCloseTo(value, 9);
    expect(found[j][1]).toBeCloseTo(error, errorDigits);
  }
}

describe('reference: a regression of counts', () => {
  it('without a prior gives the coefficients and standard errors of R 4.2.2, glm(family = poisson)', () => {
    const found = summary(Array(5).fill(1e6));
    const inR = [
      [3.04452243772, 0.170898651856],
      [-0.454255272278, 0.202170759194],
      [-0.292987124681, 0.19274234516],
      [0, 0.2],
      [0, 0.2],
    ];
    // glm's standard errors are of the weights one step before its end.
    expectAlike(found, inR, 8);
  });

  it('with one gives the mode and curvature of the penalised likelihood by Newton and optim(method = "BFGS") in R 4.2.2', () => {
    const found = summary([2, 0.5, 0.5, 0.5, 0.5]);
    const inR = [
      [2.9857992497307, 0.160087798227],
      [-0.367526804466, 0.185254795317],
      [-0.2235087017885, 0.178586202125],
      [0.0121077885099, 0.183227251704],
      [0.0121077885099, 0.183227251704],
    ];
    expectAlike(found, inR, 9);
  });

  it('refuses what neither counts nor priors tell apart', () => {
    const twice = sparseRows(2, [
      [
        [0, 1],
        [1, 1],
      ],
    ] as const);
    const flat = { mean: [0, 0], sd: [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY] };
    expect(() => poissonRegression(twice, [3], flat)).toThrow('column 1 of 2 depends on those before it');
  });
});
