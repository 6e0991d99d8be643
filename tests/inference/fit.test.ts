import { describe, expect, it } from 'vitest';
import { factorOf, inverse } from '../../src/inference/cholesky.ts';
import { fitRegression } from '../../src/inference/fit.ts';
import { predictorMoments } from '../../src/inference/predict.ts';
import { sparseRows } from '../../src/inference/sparse.ts';
import { coefficientSummary } from '../../src/inference/summary.ts';
import type { RegressionProblem } from '../../src/inference/types.ts';
import { groupedProblem, SIGMA, TAU_SCALES } from './grouped-problem.ts';
import { exactly, fitted, smallProblem } from './support.ts';

const INF = Number.POSITIVE_INFINITY;

describe('identity: a fit', () => {
  it('integrates three spreads over 15 points, the maximum first, weights summing to 1', () => {
    const { points } = fitted(groupedProblem('mixed', 60, 5));
    expect(points).toHaveLength(15);
    expect(points.reduce((sum, point) => sum + point.weight, 0)).toBeCloseTo(1, 12);
    for (const point of points) expect(point.weight).toBeGreaterThan(0);
  });

  it('is the same bit for bit when it is run again', () => {
    const problem = groupedProblem('student-t', 50, 8);
    expect(fitted(problem)).toEqual(fitted(problem));
  });

  it('does not depend on the order of the rows or of the columns', () => {
    const problem = groupedProblem('mixed', 60, 5);
    const posterior = fitted(problem);
    const mirrored = fitted(mirror(problem));
    const swap = [2, 1, 0];
    posterior.points.forEach((point, k) => {
      expect(mirrored.points[k].weight).toBeCloseTo(point.weight, 6);
      expect(mirrored.points[k].sigma).toBeCloseTo(point.sigma, 6);
      swap.forEach((to, from) => {
        expect(mirrored.points[k].mode[to]).toBeCloseTo(point.mode[from], 6);
      });
    });
  });

  it('reaches the same posterior from a former fit, in fewer evaluations', () => {
    const problem = groupedProblem('mixed', 60, 5);
    const cold = fitted(problem);
    const warm = fitted(problem, { start: cold.points[0] });
    expect(warm.trace.marginalEvaluations).toBeLessThan(cold.trace.marginalEvaluations);
    cold.points[0].mode.forEach((value, j) => {
      expect(warm.points[0].mode[j]).toBeCloseTo(value, 4);
    });
  });

  it('uses the spreads of a former fit whose columns were others', () => {
    const problem = groupedProblem('mixed', 60, 5);
    const start = { tau: Float64Array.of(0.3), sigma: 0.4, mode: new Float64Array(2) };
    expect(fitted(problem, { start }).points[0].sigma).toBeCloseTo(fitted(problem).points[0].sigma, 3);
  });

  it('takes [t, ∞) and [t, a number beyond all data) for the same', () => {
    const open = [
      [0.2, INF],
      [0.5, 0.5],
      [-0.1, 0.4],
      [0.9, INF],
    ] as const;
    const [a, b] = [open, open.map(([low, high]) => [low, Math.min(high, 80)] as const)].map((ends) =>
      fitted(smallProblem({ design: ends.map(() => [1]), ends, mean: [0], sd: [1] })),
    );
    expect(b.points[0].mode[0]).toBeCloseTo(a.points[0].mode[0], 10);
    expect(b.points[0].sigma).toBeCloseTo(a.points[0].sigma, 10);
  });

  it('tends to the fit of exact rows as the intervals about them narrow', () => {
    const exact = groupedProblem('exact', 40, 9);
    const widths = [0.3, 0.03, 0.003];
    const reference = fitted(exact).points[0];
    const errors = widths.map((width) => {
      const { lower, upper } = exact.observations;
      const observations = {
        ...exact.observations,
        lower: lower.map((y) => y - width / 2),
        upper: upper.map((y) => y + width / 2),
      };
      const point = fitted({ ...exact, observations }).points[0];
      return Math.abs(Math.log(point.sigma / reference.sigma));
    });
    // Sheppard's correction: the error goes with width²
    expect(errors[1]).toBeLessThan(errors[0] / 50);
    expect(errors[2]).toBeLessThan(2e-5);
  });

  it('gives a row with no added variance and a row with zero of it the same weight', () => {
    const plain = groupedProblem('exact', 40, 9);
    const zero = { ...plain, observations: { ...plain.observations, addedVariance: new Float64Array(40) } };
    const tiny = { ...plain, observations: { ...plain.observations, addedVariance: new Float64Array(40).fill(1e-14) } };
    const sigma = fitted(plain).points[0].sigma;
    expect(fitted(zero).points[0].sigma).toBe(sigma);
    expect(fitted(tiny).points[0].sigma).toBeCloseTo(sigma, 6);
  });
});

describe('identity: what the data do not touch', () => {
  it('leaves an empty level and an empty term to their priors', () => {
    const rows = [0.1, 0.3, -0.2, 0.6, 0.4].map((y, i) => ({ y, level: i % 2 }));
    const problem = smallProblem({
      design: rows.map(({ level }) => [1, 0, level === 0 ? 1 : 0, level === 1 ? 1 : 0, 0]),
      ends: exactly(rows.map(({ y }) => y)),
      mean: [0, 0.7],
      sd: [1, 0.2],
      groups: [{ name: 'level', count: 3, tauScale: 0.3 }],
    });
    const posterior = fitted(problem);
    const { mean, variance } = predictorMoments(posterior, sparseRows(5, [[[1, 1]], [[4, 1]]]));
    expect(mean[0]).toBeCloseTo(0.7, 10);
    expect(variance[0]).toBeCloseTo(0.04, 10);
    expect(mean[1]).toBeCloseTo(0, 10);
    expect(variance[1]).toBeCloseTo(
      posterior.points.reduce((sum, point) => sum + point.weight * point.tau[0] ** 2, 0),
      10,
    );
  });

  it('lets the prior alone carry a separated column', () => {
    const posterior = fitted(
      smallProblem({
        design: [
          [1, 0],
          [1, 0],
          [1, 0],
          [1, 1],
          [1, 1],
        ],
        ends: [
          [0.1, 0.4],
          [-0.2, 0.1],
          [0.2, 0.3],
          [0.5, INF],
          [0.6, INF],
        ],
        mean: [0, 0],
        sd: [1, 0.5],
        sigma: { logMean: Math.log(0.3), logSd: 0.3 },
      }),
    );
    const { coefficients } = coefficientSummary(posterior);
    expect(coefficients[1].mean).toBeGreaterThan(0.3);
    expect(coefficients[1].sd).toBeLessThan(0.5);
  });
});

describe('identity: what is known from elsewhere', () => {
  it('passes a posterior on: half of the rows, then the other half, is all of them at once', () => {
    const design = [
      [1, 0.2, -0.4],
      [1, -0.7, 0.1],
      [1, 1.3, 0.8],
      [1, 0.1, -1.1],
      [1, -0.5, 0.6],
      [1, 0.9, 0.3],
    ];
    const ends = exactly([0.4, -0.2, 1.1, -0.6, 0.5, 0.9]);
    const sigma = { logMean: Math.log(0.3), logSd: 0 };
    const given = { mean: [0.1, 0, -0.2], sd: [0.5, 0.4, 0.6], sigma };
    const whole = fitted(smallProblem({ ...given, design, ends })).points[0];
    const first = fitted(smallProblem({ ...given, design: design.slice(0, 3), ends: ends.slice(0, 3) })).points[0];
    const second = smallProblem({
      ...given,
      mean: [...first.mode],
      sd: [1, 1, 1],
      design: design.slice(3),
      ends: ends.slice(3),
    });
    const flat = second.fixed.sd.fill(Number.POSITIVE_INFINITY);
    const n = design[0].length;
    const covariance = inverse(first.precisionFactor, n);
    const precision = inverse(factorOf(covariance, n), n);
    const passedOn = fitted({ ...second, fixed: { ...second.fixed, sd: flat, precision } }).points[0];
    whole.mode.forEach((value, j) => {
      expect(passedOn.mode[j]).toBeCloseTo(value, 10);
    });
    whole.precisionFactor.forEach((value, k) => {
      expect(passedOn.precisionFactor[k]).toBeCloseTo(value, 9);
    });
  });

  it('throws where it is no half of a matrix over fixed terms', () => {
    const problem = smallProblem({ design: [[1, 2]], ends: exactly([0.5]) });
    for (const entries of [2, 6])
      expect(() =>
        fitRegression({ ...problem, fixed: { ...problem.fixed, precision: new Float64Array(entries) } }),
      ).toThrow('fixed.precision');
  });
});

describe('identity: no records', () => {
  const problem = { ...groupedProblem('exact', 1, 1), rows: sparseRows(11, []), observations: empty() };
  const posterior = fitted(problem);

  it('gives every coefficient its prior mean and spread', () => {
    const { coefficients } = coefficientSummary(posterior);
    [0.4, 0.1, 0].forEach((mean, j) => {
      expect(coefficients[j].mean).toBeCloseTo(mean, 12);
      expect(coefficients[j].sd).toBeCloseTo([1, 0.5, 0.5][j], 12);
    });
  });

  it('spreads its points as the priors of the spreads: mean squares within 3 %', () => {
    const mean = (of: (k: number) => number): number =>
      posterior.points.reduce((sum, point, k) => sum + point.weight * of(k), 0);
    TAU_SCALES.forEach((scale, g) => {
      expect(Math.abs(mean((k) => posterior.points[k].tau[g] ** 2) / scale ** 2 - 1)).toBeLessThan(0.03);
      expect(Math.abs(mean((k) => posterior.points[k].tau[g]) / (scale * Math.sqrt(2 / Math.PI)) - 1)).toBeLessThan(
        0.03,
      );
    });
    const logSigma = (k: number): number => (Math.log(posterior.points[k].sigma) - SIGMA.logMean) / SIGMA.logSd;
    expect(Math.abs(mean(logSigma))).toBeLessThan(0.03);
    expect(Math.abs(mean((k) => logSigma(k) ** 2) - 1)).toBeLessThan(0.03);
  });

  it('has the shape of any other posterior', () => {
    expect(posterior.trace.nObs).toBe(0);
    expect(posterior.points[0].precisionFactor).toHaveLength(66);
    expect(posterior.points.reduce((sum, point) => sum + point.weight, 0)).toBeCloseTo(1, 12);
  });
});

describe('failure: named results', () => {
  it('names the flat column that repeats those before it', () => {
    const result = fitRegression(
      smallProblem({
        names: ['one', 'soil', 'grime'],
        design: [
          [1, 1, 2],
          [1, 2, 3],
          [1, 4, 5],
          [1, 7, 8],
          [1, 5, 6],
        ],
        ends: exactly([1, 2, 3, 4, 5]),
      }),
    );
    expect(result).toMatchObject({ status: 'failed', reason: 'singular', term: 'grime', nObs: 5, model: 'small' });
    if (result.status === 'failed') expect(result.message).toContain('grime');
  });

  it('names an empty flat column, with rows and without', () => {
    const withRows = smallProblem({
      names: ['one', 'none'],
      design: [
        [1, 0],
        [1, 0],
      ],
      ends: exactly([1, 2]),
    });
    expect(fitRegression(withRows)).toMatchObject({ reason: 'singular', term: 'none' });
    expect(fitRegression({ ...withRows, rows: sparseRows(2, []), observations: empty() })).toMatchObject({
      reason: 'singular',
      term: 'one',
      nObs: 0,
    });
  });

  it('says which row cannot be read', () => {
    for (const ends of [
      [Number.NaN, 1],
      [2, 1],
      [INF, INF],
    ] as const) {
      const result = fitRegression(smallProblem({ design: [[1], [1]], ends: [[0, 1], ends], mean: [0], sd: [1] }));
      expect(result).toMatchObject({ status: 'failed', reason: 'non-finite' });
      if (result.status === 'failed') expect(result.message).toContain('row 1');
    }
  });

  it('has no maximum likelihood where the rows are fitted without error', () => {
    const result = fitRegression(
      smallProblem({
        design: [
          [1, 0],
          [1, 1],
        ],
        ends: exactly([1, 2]),
      }),
      { estimate: 'ml' },
    );
    expect(result.status).toBe('failed');
  });

  it('throws on a problem put together wrongly, all faults at once', () => {
    const problem = smallProblem({ design: [[1], [1]], ends: exactly([1, 2]), mean: [0], sd: [-1] });
    const broken = {
      ...problem,
      sigma: { logMean: 0, logSd: -1 },
      observations: { ...problem.observations, offset: new Float64Array(3) },
    };
    expect(() => fitRegression(broken)).toThrow(/offset has 3 entries: 2.*b0: prior mean 0, sd -1.*sigma/);
  });

  it('throws on an interval with Student errors', () => {
    const problem = smallProblem({
      design: [[1]],
      ends: [[0, 1]],
      mean: [0],
      sd: [1],
      error: { kind: 'student-t', degreesOfFreedom: 4 },
    });
    expect(() => fitRegression(problem)).toThrow(/row 0: an interval with student-t errors/);
  });
});

describe('robustness: rows far from what the priors expect', () => {
  it('fits one row, and a row 50 standard deviations away', () => {
    for (const ends of [[[0.1, 0.1]], [[20, 20]], [[20, INF]], [[-INF, -20]], [[20, 20.1]]] as const) {
      for (const kind of ['normal', 'student-t'] as const) {
        if (kind === 'student-t' && ends[0][0] !== ends[0][1]) continue;
        const posterior = fitted(
          smallProblem({
            design: [[1, 1]],
            ends,
            mean: [0],
            sd: [0.3],
            groups: [{ name: 'level', count: 1, tauScale: 0.1 }],
            sigma: { logMean: Math.log(0.4), logSd: 0.25 },
            error: kind === 'normal' ? { kind } : { kind, degreesOfFreedom: 4 },
          }),
        );
        for (const point of posterior.points)
          expect(Number.isFinite(point.weight + point.sigma + point.tau[0] + point.mode[0])).toBe(true);
      }
    }
  });

  it('fits small samples of every kind, simulated from the priors', () => {
    for (const kind of ['exact', 'student-t', 'censored', 'added-variance', 'mixed'] as const) {
      for (const rows of [1, 3, 8, 25]) {
        for (let seed = 0; seed < 12; seed++) {
          const result = fitRegression(groupedProblem(kind, rows, 77 + seed * 13));
          expect(result.status, `${kind}, ${rows} rows, seed ${seed}`).toBe('fitted');
        }
      }
    }
  });

  it('is hardly moved by one wild row where errors are Student, and is where they are normal', () => {
    const y = [0.1, -0.1, 0.05, -0.05, 0.12, -0.08, 0.02, 0.07];
    const centre = (values: readonly number[], error: RegressionProblem['error']): number =>
      fitted(
        smallProblem({
          design: values.map(() => [1]),
          ends: exactly(values),
          mean: [0],
          sd: [10],
          sigma: { logMean: -2.3, logSd: 0.35 },
          error,
        }),
      ).points[0].mode[0];
    const student = { kind: 'student-t', degreesOfFreedom: 4 } as const;
    expect(Math.abs(centre([...y, 5], student) - centre(y, student))).toBeLessThan(0.03);
    expect(Math.abs(centre([...y, 5], { kind: 'normal' }) - centre(y, { kind: 'normal' }))).toBeGreaterThan(0.3);
  });
});

function empty() {
  return { lower: new Float64Array(0), upper: new Float64Array(0), offset: new Float64Array(0) };
}

/** The same problem with its three fixed terms and its rows in reverse. */
function mirror(problem: RegressionProblem): RegressionProblem {
  const { rows, observations, fixed } = problem;
  const last = rows.nRows - 1;
  const entries = Array.from({ length: rows.nRows }, (_, i) => {
    const [start, end] = [rows.rowStart[last - i], rows.rowStart[last - i + 1]];
    return Array.from({ length: end - start }, (_, k): [number, number] => {
      const column = rows.column[start + k];
      return [column < 3 ? 2 - column : column, rows.value[start + k]];
    });
  });
  return {
    ...problem,
    rows: sparseRows(rows.nColumns, entries),
    observations: {
      lower: observations.lower.toReversed(),
      upper: observations.upper.toReversed(),
      offset: observations.offset.toReversed(),
    },
    fixed: { names: fixed.names.toReversed(), mean: fixed.mean.toReversed(), sd: fixed.sd.toReversed() },
  };
}
