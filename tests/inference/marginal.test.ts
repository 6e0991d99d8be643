import { describe, expect, it } from 'vitest';
import { type MarginalPoint, marginalAt, marginalGradient } from '../../src/inference/marginal.ts';
import { maximiseSpreads, type SpreadStart } from '../../src/inference/search.ts';
import { rowDot } from '../../src/inference/sparse.ts';
import { type Estimate, type SpreadModel, spreadModel } from '../../src/inference/spread-model.ts';
import type { RegressionProblem } from '../../src/inference/types.ts';
import { groupedProblem, type Kind, SIGMA, TAU_SCALES } from './grouped-problem.ts';

const KINDS: readonly Kind[] = ['exact', 'student-t', 'censored', 'added-variance', 'mixed'];
const ESTIMATES: readonly Estimate[] = ['posterior', 'reml', 'ml'];

describe('gradient: the Laplace marginal by the log spreads against central differences', () => {
  for (const kind of KINDS) {
    for (const estimate of ESTIMATES) {
      it(`holds for ${kind} rows, ${estimate}`, () => {
        const problem = groupedProblem(kind, 40, 11);
        const logSpreads = Float64Array.of(-1.2, -2, -1);
        const { gradient, modeSlopes } = marginalGradient(
          spreadModel(problem, estimate),
          at(problem, estimate, logSpreads),
        );
        logSpreads.forEach((_, k) => {
          const [above, below] = [1e-4, -1e-4].map((h) => at(problem, estimate, moved(logSpreads, k, h)));
          const expected = (above.value - below.value) / 2e-4;
          expect(Math.abs(gradient[k] - expected), `spread ${k}`).toBeLessThan(1e-5 * (1 + Math.abs(expected)));
          // the expected information of t is not the derivative of its gradient: there the slope of the mode is only a first guess
          if (kind === 'student-t') return;
          modeSlopes[k].forEach((slope, j) => {
            const byDifference = (above.mode.coefficients[j] - below.mode.coefficients[j]) / 2e-4;
            expect(Math.abs(slope - byDifference), `mode ${j}`).toBeLessThan(1e-5);
          });
        });
      });
    }
  }
});

describe('gradient: where rows are read to a step', () => {
  it.each(KINDS)('holds for %s rows', (kind) => {
    const bare = groupedProblem(kind, 40, 11);
    const problem = { ...bare, sigma: { ...bare.sigma, readingSd: 0.3 } };
    const logSpreads = Float64Array.of(-1.2, -2, -1);
    const { gradient } = marginalGradient(spreadModel(problem, 'posterior'), at(problem, 'posterior', logSpreads));
    logSpreads.forEach((_, k) => {
      const [above, below] = [1e-4, -1e-4].map((h) => at(problem, 'posterior', moved(logSpreads, k, h)));
      const expected = (above.value - below.value) / 2e-4;
      expect(Math.abs(gradient[k] - expected), `spread ${k}`).toBeLessThan(1e-5 * (1 + Math.abs(expected)));
    });
  });
});

describe('gradient: at the maximum', () => {
  for (const kind of KINDS) {
    it(`is zero by coefficient and by spread for ${kind} rows`, () => {
      const model = spreadModel(groupedProblem(kind, 60, 5), 'posterior');
      const maximum = maximiseSpreads(model, startAt(model, [-1, -1, -1]), 1e-14);
      if (!('point' in maximum)) throw new Error(maximum.status);
      for (const value of maximum.gradient) expect(Math.abs(value)).toBeLessThan(1e-5);
      expect(maximum.point.mode.gradientNorm).toBeLessThan(1e-4);
    });
  }

  it('is the same maximum from far starts', () => {
    const model = spreadModel(groupedProblem('mixed', 60, 5), 'posterior');
    const ends = [
      [-1, -1, -1],
      [1, -4, 1.5],
      [-5, 0.5, -4],
    ].map((start) => {
      const maximum = maximiseSpreads(model, startAt(model, start), 1e-14);
      if (!('point' in maximum)) throw new Error(maximum.status);
      return maximum.point;
    });
    for (const end of ends) {
      expect(end.value).toBeCloseTo(ends[0].value, 9);
      end.logSpreads.forEach((value, k) => {
        expect(value).toBeCloseTo(ends[0].logSpreads[k], 5);
      });
    }
  });
});

describe('identity: the Laplace marginal', () => {
  it('is the exact evidence of a normal row, its variances added up', () => {
    const problem = groupedProblem('exact', 1, 3);
    const tau = [0.3, 0.2];
    const sigma = 0.5;
    const { value } = at(problem, 'posterior', Float64Array.of(...tau.map(Math.log), Math.log(sigma)));
    const [y] = problem.observations.lower;
    const x = problem.fixed.names.map((_, j) => rowDot(problem.rows, 0, unit(problem.rows.nColumns, j)));
    const variance = x.reduce(
      (sum, entry, j) => sum + (entry * problem.fixed.sd[j]) ** 2,
      tau[0] ** 2 + tau[1] ** 2 + sigma ** 2,
    );
    const centre = x.reduce((sum, entry, j) => sum + entry * problem.fixed.mean[j], problem.observations.offset[0]);
    const evidence = -0.5 * Math.log(2 * Math.PI * variance) - (y - centre) ** 2 / (2 * variance);
    // half-normal tau and normal log sigma as densities of the logarithms
    const priors = tau.map(
      (value, g) => 0.5 * Math.log(2 / Math.PI) + Math.log(value / TAU_SCALES[g]) - 0.5 * (value / TAU_SCALES[g]) ** 2,
    );
    const z = (Math.log(sigma) - SIGMA.logMean) / SIGMA.logSd;
    const sigmaPrior = -0.5 * z * z - Math.log(SIGMA.logSd) - 0.5 * Math.log(2 * Math.PI);
    expect(value).toBeCloseTo(evidence + priors[0] + priors[1] + sigmaPrior, 12);
  });
});

function startAt(model: SpreadModel, logSpreads: readonly number[]): SpreadStart {
  return { logSpreads: Float64Array.from(logSpreads), coefficients: new Float64Array(model.nColumns) };
}

function unit(n: number, j: number): Float64Array {
  const vector = new Float64Array(n);
  vector[j] = 1;
  return vector;
}

function moved(logSpreads: Float64Array, k: number, h: number): Float64Array {
  const result = logSpreads.slice();
  result[k] += h;
  return result;
}

function at(problem: RegressionProblem, estimate: Estimate, logSpreads: Float64Array): MarginalPoint {
  const model = spreadModel(problem, estimate);
  const point = marginalAt(model, logSpreads, new Float64Array(model.nColumns));
  if (!('value' in point)) throw new Error(point.status);
  return point;
}
