import { describe, expect, it } from 'vitest';
import { drawPredictors } from '../../src/inference/predict.ts';
import { quantiles } from '../../src/inference/quantile.ts';
import { normalStore } from '../../src/inference/random.ts';
import { sparseRows } from '../../src/inference/sparse.ts';
import { coefficientSummary } from '../../src/inference/summary.ts';
import { type Kind, simulated } from './grouped-problem.ts';
import { fitted } from './support.ts';

// Simulation from the priors and back: with the truth drawn from the prior, intervals of an exact posterior cover at their nominal rate whatever n is.
// 300 shops of 60 rows; the binomial standard deviation is 0.017 at 90 %, and less where several coefficients are pooled.
// Known differences: the spread of a group is missed from above in about 12 % instead of 5 % of such shops (it can lie as near to 0 as it likes,
// and the design reaches 1.9 standard deviations); Student's sigma comes out 0.2 of its standard deviation high, from the expected information.
const SHOPS = 300;
const ROWS = 60;
const normals = normalStore();

for (const kind of ['exact', 'student-t', 'censored', 'added-variance'] as const) {
  describe(`recovery: ${kind} rows`, () => {
    const { fixed, levels, tau, understated, sigma, predictor, ranks } = coverage(kind);

    it('covers fixed terms, levels and a predictor by their 90 % intervals', () => {
      expect(Math.abs(fixed - 0.9)).toBeLessThan(0.035);
      expect(Math.abs(levels - 0.9)).toBeLessThan(0.035);
      expect(Math.abs(predictor - 0.9)).toBeLessThan(0.05);
    });

    it('covers the spread of errors, and seldom understates the spread of a group', () => {
      expect(Math.abs(sigma - 0.9)).toBeLessThan(0.05);
      expect(understated).toBeLessThan(0.065);
      expect(tau).toBeGreaterThan(0.8);
    });

    it('ranks the truth evenly among the draws: chi-square of ten bins below its 0.999 quantile', () => {
      const expected = SHOPS / ranks.length;
      const chiSquare = ranks.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
      expect(chiSquare).toBeLessThan(27.88);
    });
  });
}

function coverage(kind: Kind) {
  const hits = { fixed: 0, levels: 0, tau: 0, understated: 0, sigma: 0, predictor: 0 };
  const ranks = new Array<number>(10).fill(0);
  for (let shop = 0; shop < SHOPS; shop++) {
    const { problem, truth } = simulated(kind, ROWS, 1000 + shop);
    const posterior = fitted(problem);
    const summary = coefficientSummary(posterior);
    const inside = (s: { p05: number; p95: number }, value: number): number =>
      s.p05 <= value && value <= s.p95 ? 1 : 0;
    truth.coefficients.forEach((value, j) => {
      hits[j < 3 ? 'fixed' : 'levels'] += inside(summary.coefficients[j], value);
    });
    truth.tau.forEach((value, g) => {
      hits.tau += inside(summary.tau[g], value);
      hits.understated += value > summary.tau[g].p95 ? 1 : 0;
    });
    hits.sigma += inside(summary.sigma, truth.sigma);
    const rows = sparseRows(11, [
      [
        [0, 1],
        [1, 0.5],
        [2, 1],
        [4, 1],
        [8, 1],
      ],
    ]);
    const { eta } = drawPredictors(posterior, rows, normals(7, 1000), 1000);
    const [low, high] = quantiles(eta, [0.05, 0.95]);
    const value =
      truth.coefficients[0] +
      0.5 * truth.coefficients[1] +
      truth.coefficients[2] +
      truth.coefficients[4] +
      truth.coefficients[8];
    hits.predictor += low <= value && value <= high ? 1 : 0;
    ranks[Math.min(9, Math.floor(eta.filter((draw) => draw < value).length / 100))] += 1;
  }
  return {
    fixed: hits.fixed / (3 * SHOPS),
    levels: hits.levels / (8 * SHOPS),
    tau: hits.tau / (2 * SHOPS),
    understated: hits.understated / (2 * SHOPS),
    sigma: hits.sigma / SHOPS,
    predictor: hits.predictor / SHOPS,
    ranks,
  };
}
