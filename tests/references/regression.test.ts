import { describe, expect, it } from 'vitest';
import { inverse } from '../../src/inference/cholesky.ts';
import { digits, exactly, fitted, smallProblem } from '../inference/support.ts';
import { LONGLEY, NORRIS } from './nist-linear.ts';

// NIST StRD linear least squares, certified values as quoted in public test suites (GSL, SciPy and others); R 4.2.2 lm() agrees.
// The engine with flat priors: reml gives σ² = SSE / (n − p), ml the log-likelihood. Columns are centred and scaled as a caller
// should do: the digits asked are those left after the change back.

// Wampler1: y = 1 + x + x² + x³ + x⁴ + x⁵, x = 0 … 20, no error. https://www.itl.nist.gov/div898/strd/lls/data/Wampler1.shtml
const WAMPLER_X = Array.from({ length: 21 }, (_, x) => x);

describe('reference: NIST Norris, a straight line', () => {
  const { beta, covariance, residualSd, logLikelihood } = leastSquares(
    NORRIS.map(([y]) => y),
    NORRIS.map(([, x]) => [x]),
  );

  it('has the certified coefficients to 11 digits', () => {
    expect(digits(beta[0], -0.262323073774029)).toBeGreaterThan(11);
    expect(digits(beta[1], 1.00211681802045)).toBeGreaterThan(11);
  });

  it('has the certified standard errors and residual standard deviation to 8 digits, as the search for sigma ends there', () => {
    expect(digits(Math.sqrt(covariance[0][0]), 0.232818234301152)).toBeGreaterThan(8);
    expect(digits(Math.sqrt(covariance[1][1]), 0.429796848199937e-3)).toBeGreaterThan(8);
    expect(digits(residualSd, 0.884796396144373)).toBeGreaterThan(8);
  });

  it('has the covariance and the log-likelihood of R 4.2.2: m <- lm(y ~ x); vcov(m); logLik(m)', () => {
    expect(digits(covariance[0][0], 0.0542043302231)).toBeGreaterThan(8);
    expect(digits(covariance[0][1], -7.743275363157e-5)).toBeGreaterThan(8);
    expect(digits(covariance[1][1], 1.847253307226e-7)).toBeGreaterThan(8);
    expect(digits(logLikelihood, -45.64661777959)).toBeGreaterThan(12);
  });
});

describe('reference: NIST Longley, six columns that nearly repeat each other', () => {
  const certified = [
    -3482258.63459582, 15.0618722713733, -0.035819179292591, -2.02022980381683, -1.03322686717359, -0.0511041056535807,
    1829.15146461355,
  ];
  const errors = [
    890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699, 0.214274163161675, 0.22607320006937,
    455.478499142212,
  ];
  const { beta, covariance, residualSd } = leastSquares(
    LONGLEY.map((row) => row[0]),
    LONGLEY.map((row) => row.slice(1)),
  );

  it('has the certified coefficients to 10 digits', () => {
    certified.forEach((value, j) => {
      expect(digits(beta[j], value), `b${j}`).toBeGreaterThan(10);
    });
  });

  it('has the certified standard errors and residual standard deviation to 8 digits', () => {
    errors.forEach((value, j) => {
      expect(digits(Math.sqrt(covariance[j][j]), value), `b${j}`).toBeGreaterThan(8);
    });
    expect(digits(residualSd, 304.854073561965)).toBeGreaterThan(8);
  });
});

describe('reference: NIST Wampler1, a quintic without error', () => {
  it('has all six coefficients 1 to 1e-6 (b0 pays for the change back from centred powers), sigma being known', () => {
    const { beta } = leastSquares(
      WAMPLER_X.map((x) => 1 + x + x ** 2 + x ** 3 + x ** 4 + x ** 5),
      WAMPLER_X.map((x) => [x, x ** 2, x ** 3, x ** 4, x ** 5]),
      { logMean: 0, logSd: 0 },
    );
    beta.forEach((value, j) => {
      expect(Math.abs(value - 1), `b${j}`).toBeLessThan(j === 0 ? 1e-6 : 1e-7);
    });
  });
});

/** Least squares by the engine on centred, scaled columns and response, changed back to the columns given. */
function leastSquares(y: readonly number[], x: readonly (readonly number[])[], sigma = { logMean: 0, logSd: 1 }) {
  const p = x[0].length + 1;
  const columns = x[0].map((_, j) => standardised(x.map((row) => row[j])));
  const response = standardised(y);
  const problem = smallProblem({
    design: y.map((_, i) => [1, ...columns.map((column) => column.values[i])]),
    ends: exactly(response.values),
    sigma,
  });
  const reml = fitted(problem, { estimate: 'reml' }).points[0];
  const ml = fitted(problem, { estimate: 'ml' });
  // beta = A gamma with A the change back: slopes / sd, and the intercept less what the centres held
  const back = Array.from({ length: p }, (_, i) =>
    Array.from({ length: p }, (_, j) => {
      if (i > 0) return i === j ? response.sd / columns[i - 1].sd : 0;
      return j === 0 ? response.sd : (-response.sd * columns[j - 1].mean) / columns[j - 1].sd;
    }),
  );
  const beta = back.map((row) => row.reduce((sum, entry, j) => sum + entry * reml.mode[j], 0));
  beta[0] += response.mean;
  const packed = inverse(reml.precisionFactor, p);
  const at = (i: number, j: number): number => packed[(Math.max(i, j) * (Math.max(i, j) + 1)) / 2 + Math.min(i, j)];
  const covariance = back.map((left) =>
    back.map((right) =>
      left.reduce((sum, a, i) => sum + a * right.reduce((inner, b, j) => inner + b * at(i, j), 0), 0),
    ),
  );
  return {
    beta,
    covariance,
    residualSd: reml.sigma * response.sd,
    logLikelihood: ml.trace.logMarginal - y.length * Math.log(response.sd),
  };
}

function standardised(values: readonly number[]) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
  return { mean, sd, values: values.map((value) => (value - mean) / sd) };
}
