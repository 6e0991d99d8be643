import { describe, expect, it } from 'vitest';
import { inverse } from '../../src/inference/cholesky.ts';
import { spreadCurvature } from '../../src/inference/fit.ts';
import { normalQuantile } from '../../src/inference/normal.ts';
import { maximiseSpreads } from '../../src/inference/search.ts';
import { spreadModel } from '../../src/inference/spread-model.ts';
import type { RegressionProblem } from '../../src/inference/types.ts';
import { fitted, smallProblem } from '../inference/support.ts';
import { LUNG } from './lung-data.ts';

// R 4.2.2, survival 3.5-3, survreg(..., control = survreg.control(rel.tolerance = 1e-12)); interval example also by 40-digit Newton (mpmath).
// The engine's ml switch. Its log-likelihood is that of log t: survreg's adds −log t of each exact row.
// survreg's standard errors come from the joint information of (β, log scale); the engine's are given sigma, so the test adds
// (∂β/∂log σ)² Var(log σ), the other half of the same inverse. Var(log σ) is from central differences: 1e-4 relative.
const INF = Number.POSITIVE_INFINITY;

describe('reference: survreg on Tobin 1958, left-censored gaussian', () => {
  // survreg(Surv(durable, durable > 0, type = "left") ~ age + quant, data = tobin, dist = "gaussian")
  const durable = [0, 0.7, 0, 0, 0, 0, 0, 3.7, 0, 3, 10.4, 0, 0, 0, 1.5, 0, 0, 3.5, 6.1, 0];
  const age = [
    57.7, 50.9, 48.5, 41.7, 47.7, 59.8, 44.3, 45.1, 51.7, 50, 46.8, 58, 58.9, 40, 34.1, 39.9, 33.4, 48.1, 46.6, 53.1,
  ];
  const quant = [236, 283, 207, 220, 238, 216, 284, 221, 275, 269, 207, 249, 246, 277, 231, 219, 240, 266, 214, 251];
  const ends = durable.map((value): [number, number] => (value > 0 ? [value, value] : [-INF, 0]));

  it('agrees with intercept, slopes, scale, standard errors and log-likelihood', () => {
    const fit = maximumLikelihood([age, quant], ends, 1.5);
    expectClose(fit.coefficients, [15.14486633222, -0.12905928386, -0.04554166289], 2e-8);
    expectClose(fit.errors, [16.07945320238, 0.21858359672, 0.05825411551], 1e-4);
    expectClose([fit.logScale], [1.71785092237], 2e-8);
    expectClose([fit.logScaleError], [0.31032272019], 1e-4);
    expectClose([fit.logLikelihood], [-28.9401331997], 1e-11);
    expectClose([maximumLikelihood([], ends, 1.5).logLikelihood], [-29.4921995482], 1e-11);
  });
});

describe('reference: survreg on lung, right-censored log-normal', () => {
  const ends = LUNG.time.map((time, i): [number, number] => [
    Math.log(time),
    LUNG.status[i] === 2 ? Math.log(time) : INF,
  ]);
  const logTimes = LUNG.time.reduce((sum, time, i) => sum + (LUNG.status[i] === 2 ? Math.log(time) : 0), 0);

  it('agrees without covariates: survreg(Surv(time, status) ~ 1, dist = "lognormal")', () => {
    const fit = maximumLikelihood([], ends, 0);
    expectClose(fit.coefficients, [5.6633049622], 1e-9);
    expectClose(fit.errors, [0.07799593933], 1e-4);
    expectClose([Math.exp(fit.logScale)], [1.09763926977], 1e-8);
    expectClose([fit.logScaleError], [0.05636198515], 1e-4);
    expectClose([fit.logLikelihood - logTimes], [-1169.26905531], 1e-11);
  });

  it('agrees on age and sex, and on the predicted quantiles', () => {
    const fit = maximumLikelihood([LUNG.age, LUNG.sex], ends, 0);
    const [b0, bAge, bSex] = fit.coefficients;
    expectClose(fit.coefficients, [6.40798854852, -0.02335645755, 0.51925367463], 1e-8);
    expectClose(fit.errors, [0.592927403932, 0.008388238828, 0.155152235424], 1e-4);
    expectClose([Math.exp(fit.logScale)], [1.05267589008], 1e-8);
    expectClose([fit.logScaleError], [0.056015677361], 1e-4);
    expectClose([fit.logLikelihood - logTimes], [-1158.75014259], 1e-11);
    // predict(m, data.frame(age = 60, sex = 1:2), type = "quantile", p = c(.1, .5, .9))
    const quantile = (sex: number, p: number): number =>
      Math.exp(b0 + 60 * bAge + sex * bSex + Math.exp(fit.logScale) * normalQuantile(p));
    expectClose(
      [0.1, 0.5, 0.9].map((p) => quantile(1, p)),
      [65.156778, 251.1008798, 967.691371],
      1e-7,
    );
    expectClose(
      [0.1, 0.5, 0.9].map((p) => quantile(2, p)),
      [109.5137388, 422.0435233, 1626.4693141],
      1e-7,
    );
  });
});

describe('reference: survreg on a made set with all four kinds of row', () => {
  // survreg(Surv(left, right, type = "interval2") ~ x + rh, dist = "lognormal"); made data, NA written as null
  const left = [2, 3, null, 4, 1.5, 5, 6, 2.5, 3, 4, 8, null, 5, 7, 2, 3.5];
  const right = [3, 4, 2, 6, 1.5, 8, null, 3.5, 3, 5, 12, 4, 7, null, 2.5, 5];
  const x = [0, 0, 0, 1, 0, 1, 1, 0, 0, 1, 1, 1, 1, 1, 0, 0];
  const rh = [40, 55, 35, 50, 30, 60, 70, 45, 50, 40, 75, 35, 55, 65, 30, 60];
  const ends = left.map((value, i): [number, number] => {
    const upper = right[i];
    return [value === null ? -INF : Math.log(value), upper === null ? INF : Math.log(upper)];
  });
  const logTimes = Math.log(1.5) + Math.log(3);

  it('agrees without covariates', () => {
    const fit = maximumLikelihood([], ends, -0.5);
    expectClose(fit.coefficients, [1.349310281907], 1e-9);
    expectClose(fit.errors, [0.15809022726], 1e-4);
    expectClose([fit.logScale], [-0.4999176603695], 2e-8);
    expectClose([fit.logScaleError], [0.21643065315], 1e-4);
    expectClose([fit.logLikelihood - logTimes], [-27.363573813802], 1e-12);
  });

  it('agrees on the narrow surface of x and rh', () => {
    const fit = maximumLikelihood([x, rh], ends, -1);
    expectClose(fit.coefficients, [-0.2519657788056, 0.5645833619636, 0.02718371651909], 1e-8);
    expectClose(fit.errors, [0.13564840909, 0.085310085678, 0.0031479549206], 1e-4);
    expectClose([fit.logScale], [-2.336623144164], 1e-8);
    expectClose([fit.logScaleError], [0.27504884127], 1e-4);
    expectClose([fit.logLikelihood, fit.logLikelihood - logTimes], [-3.53379336122, -5.0378707580003], 1e-11);
    const quantile = (p: number): number =>
      Math.exp(
        fit.coefficients[0] +
          fit.coefficients[1] +
          50 * fit.coefficients[2] +
          Math.exp(fit.logScale) * normalQuantile(p),
      );
    expectClose([0.1, 0.5, 0.9].map(quantile), [4.701760438, 5.321756453, 6.023508027], 1e-8);
  });
});

/** ml on centred, scaled covariates, changed back, with the joint standard errors. */
function maximumLikelihood(
  covariates: readonly (readonly number[])[],
  ends: readonly (readonly [number, number])[],
  logScale: number,
) {
  const centre = covariates.map((values) => values.reduce((sum, value) => sum + value, 0) / values.length);
  const scale = covariates.map((values, k) => Math.max(...values.map((value) => Math.abs(value - centre[k]))));
  const problem = smallProblem({
    design: ends.map((_, i) => [1, ...covariates.map((values, k) => (values[i] - centre[k]) / scale[k])]),
    ends,
    sigma: { logMean: logScale, logSd: 1 },
  });
  const { points, trace } = fitted(problem, { estimate: 'ml' });
  const back = (mode: ArrayLike<number>): number[] => {
    const slopes = scale.map((value, k) => mode[k + 1] / value);
    return [mode[0] - slopes.reduce((sum, slope, k) => sum + slope * centre[k], 0), ...slopes];
  };
  const { logSigmaVariance, modeSlope } = aboutMaximum(problem, points[0].mode);
  const covariance = inverse(points[0].precisionFactor, points[0].mode.length);
  const slope = back(modeSlope);
  const rows = slope.map((_, k) => back(slope.map((_, j) => covariance[packed(k, j)])));
  // back() is linear: applied to the rows, then to the columns, it carries the covariance over
  const errors = slope.map((bySigma, j) =>
    Math.sqrt(back(rows.map((row) => row[j]))[j] + bySigma ** 2 * logSigmaVariance),
  );
  return {
    coefficients: back(points[0].mode),
    errors,
    logScale: Math.log(points[0].sigma),
    logScaleError: Math.sqrt(logSigmaVariance),
    logLikelihood: trace.logMarginal,
  };
}

function aboutMaximum(problem: RegressionProblem, start: Float64Array) {
  const model = spreadModel(problem, 'ml');
  const maximum = maximiseSpreads(
    model,
    { logSpreads: Float64Array.of(problem.sigma.logMean), coefficients: start },
    1e-15,
  );
  if (!('point' in maximum)) throw new Error(maximum.status);
  const curvature = spreadCurvature(model, maximum);
  if (!(curvature instanceof Float64Array)) throw new Error(curvature.status);
  return { logSigmaVariance: 1 / curvature[0], modeSlope: maximum.modeSlopes[0] };
}

const packed = (i: number, j: number): number => (Math.max(i, j) * (Math.max(i, j) + 1)) / 2 + Math.min(i, j);

function expectClose(values: readonly number[], expected: readonly number[], relative: number): void {
  values.forEach((value, k) => {
    expect(Math.abs(value / expected[k] - 1), `${value} against ${expected[k]}`).toBeLessThan(relative);
  });
}
