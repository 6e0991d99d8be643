import { describe, expect, it } from 'vitest';
import { inverse } from '../../src/inference/cholesky.ts';
import type { Posterior } from '../../src/inference/types.ts';
import { exactly, fitted, smallProblem } from '../inference/support.ts';

// nlme::Machines (Milliken and Johnson 1992): 6 workers, 3 machines, 3 replicates; score by machine, worker, replicate.
// Balanced: REML is exact from the analysis of variance, MS Worker 248.379, Machine:Worker 42.653, residual 0.92462962963.
// Fixed effects, log-likelihoods and BLUPs: R 4.2.2, lme4 lmer(score ~ Machine + (1|Worker) [+ (1|Worker:Machine)]); nlme prints the same to
// its own 1e-5. lmer's standard deviations and errors end 4e-8 from the closed forms: those are asked to 1e-9, lmer's figures to 1e-7.
const MACHINES: readonly (readonly (readonly number[])[])[] = [
  [
    [52, 52.8, 53.1],
    [51.8, 52.8, 53.1],
    [60, 60.2, 58.4],
    [51.1, 52.3, 50.3],
    [50.9, 51.8, 51.4],
    [46.4, 44.8, 49.2],
  ],
  [
    [62.1, 62.6, 64],
    [59.7, 60, 59],
    [68.6, 65.8, 69.7],
    [63.2, 62.8, 62.2],
    [64.8, 65, 65.4],
    [43.7, 44.2, 43],
  ],
  [
    [67.5, 67.2, 66.9],
    [61.5, 61.7, 62.3],
    [70.8, 70.6, 71],
    [64.1, 66.2, 64],
    [72.1, 72, 71.1],
    [62, 61.4, 60.5],
  ],
];
const WORKERS = [0, 1, 2, 3, 4, 5];
const FIXED = [52.3555555556, 7.9666666667, 13.9166666667];

describe('reference: Machines with (1|Worker)', () => {
  const reml = machinesFit(false, 'reml');
  const ml = machinesFit(false, 'ml');
  const point = reml.points[0];

  it('has the exact REML standard deviations and those of maximum likelihood', () => {
    const [tau, sigma] = [5.14655208753, 3.16164743334];
    expectClose([point.tau[0], point.sigma], [tau, sigma], 1e-9);
    // ml divides the same sums of squares by 6 workers and 48 = 54 − 6, not by 5 and 46
    const residual = (sigma ** 2 * 46) / 48;
    const worker = ((9 * tau ** 2 + sigma ** 2) * 5) / 6;
    expectClose([ml.points[0].tau[0], ml.points[0].sigma], [((worker - residual) / 9) ** 0.5, residual ** 0.5], 1e-9);
    expectClose([ml.points[0].tau[0], ml.points[0].sigma], [4.683339257, 3.095078967], 1e-7);
  });

  it('has the fixed effects and their standard errors', () => {
    expectClose(point.mode.subarray(0, 3), FIXED, 1e-10);
    const [intercept, machine] = [(point.tau[0] ** 2 / 6 + point.sigma ** 2 / 18) ** 0.5, point.sigma / 3];
    expectClose(standardErrors(reml).subarray(0, 3), [intercept, machine, machine], 1e-12);
    expectClose(standardErrors(reml).subarray(0, 3), [2.229312462, 1.053882475, 1.053882475], 1e-7);
  });

  it('has both log-likelihoods', () => {
    expectClose([reml.trace.logMarginal, ml.trace.logMarginal], [-143.4391009889, -146.8516279007], 1e-11);
  });

  it('has the predicted workers, shrunk by 0.959754993406', () => {
    expectClose(
      point.mode.subarray(3),
      [1.21035769, -1.59425969, 6.21174761, -0.06931564, 2.94858062, -8.7071106],
      1e-7,
    );
    expect(workerMean(0) / point.mode[3]).toBeCloseTo(1 / 0.959754993406, 8);
  });

  it('has the conditional standard deviation of a worker given the fixed effects', () => {
    // lme4's condVar leaves the fixed effects' uncertainty out: 1 / sqrt(H_uu)
    expect(Math.sqrt(1 / (9 / point.sigma ** 2 + 1 / point.tau[0] ** 2))).toBeCloseTo(1.032457952, 8);
  });
});

describe('reference: Machines with (1|Worker) + (1|Worker:Machine)', () => {
  const reml = machinesFit(true, 'reml');
  const ml = machinesFit(true, 'ml');
  const point = reml.points[0];

  it('has the exact REML standard deviations, from the mean squares', () => {
    const [worker, cell, residual] = [248.379, 42.653, 0.92462962963];
    expectClose([point.tau[0], point.tau[1], point.sigma], [4.78105055866, 3.72953841516, 0.961576637419], 1e-9);
    // the mean squares are printed to three decimals
    expectClose(
      [point.tau[0], point.tau[1], point.sigma],
      [((worker - cell) / 9) ** 0.5, ((cell - residual) / 3) ** 0.5, residual ** 0.5],
      1e-5,
    );
  });

  it('has the standard deviations of maximum likelihood', () => {
    // lmer stopped 4e-9 off in the residual: its exact value is that of REML, the cells being balanced
    expectClose([...ml.points[0].tau, ml.points[0].sigma], [4.364482023, 3.397034811, 0.961576641], 1e-8);
  });

  it('has the fixed effects, their standard errors and both log-likelihoods', () => {
    expectClose(point.mode.subarray(0, 3), FIXED, 1e-10);
    expectClose(standardErrors(reml).subarray(0, 3), [2.485830277, 2.176975489, 2.176975489], 1e-7);
    expectClose([reml.trace.logMarginal, ml.trace.logMarginal], [-107.8437840041, -112.6347234699], 1e-11);
  });

  it('has the predicted workers and workers by machine', () => {
    expectClose(
      point.mode.subarray(3, 9),
      [1.04454623, -1.37585604, 5.36077689, -0.05981983, 2.54464345, -7.5142907],
      1e-6,
    );
    expectClose(
      point.mode.subarray(9),
      [
        -0.75014648, 1.49999423, -0.11423715, 1.55256496, 0.60685364, -2.99663257, 1.77761203, 2.29938379, -0.8149414,
        -1.03937169, 2.41736622, -1.41439514, -3.4569326, 2.15211382, 2.85324462, 1.91627378, -8.97571171, 2.48696164,
      ],
      1e-6,
    );
  });
});

function machinesFit(nested: boolean, estimate: 'reml' | 'ml'): Posterior {
  const cells = MACHINES.flatMap((workers, machine) =>
    workers.flatMap((scores, worker) => scores.map((score) => ({ machine, worker, score }))),
  );
  const is = (condition: boolean): number => (condition ? 1 : 0);
  return fitted(
    smallProblem({
      design: cells.map(({ machine, worker }) => [
        1,
        is(machine === 1),
        is(machine === 2),
        ...WORKERS.map((w) => is(w === worker)),
        ...(nested ? WORKERS.flatMap((w) => [0, 1, 2].map((m) => is(w === worker && m === machine))) : []),
      ]),
      ends: exactly(cells.map(({ score }) => score)),
      groups: [
        { name: 'worker', count: 6, tauScale: 3 },
        ...(nested ? [{ name: 'worker:machine', count: 18, tauScale: 3 }] : []),
      ],
      sigma: { logMean: 0.5, logSd: 1 },
    }),
    { estimate },
  );
}

function workerMean(worker: number): number {
  const all = MACHINES.flat(2);
  const own = MACHINES.flatMap((workers) => workers[worker]);
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  return mean(own) - mean(all);
}

function standardErrors(posterior: Posterior): Float64Array {
  const covariance = inverse(posterior.points[0].precisionFactor, posterior.nColumns);
  return Float64Array.from({ length: posterior.nColumns }, (_, j) => Math.sqrt(covariance[(j * (j + 1)) / 2 + j]));
}

function expectClose(values: ArrayLike<number>, expected: readonly number[], relative: number): void {
  expect(values.length).toBe(expected.length);
  expected.forEach((value, k) => {
    expect(Math.abs(values[k] / value - 1), `${values[k]} against ${value}`).toBeLessThan(relative);
  });
}
