import { MultivariateLinearRegression } from 'ml-regression';
import { describe, expect, it } from 'vitest';
import { leastSquares } from '../../src/insight/yardsticks/least-squares.ts';
import { digits } from '../inference/support.ts';
import { LONGLEY, NORRIS } from './nist-linear.ts';

const certified = {
  norris: { b0: -0.262323073774029, b1: 1.00211681802045, sd: 0.884796396144373 },
  longley: {
    b: [
      -3482258.63459582, 15.0618722713733, -0.35819179292591e-1, -2.02022980381683, -1.03322686717359,
      -0.511041056535807e-1, 1829.15146461355,
    ],
    sd: 304.854073561965,
  },
};

describe('reference: least squares by ml-regression as it is used here, against NIST', () => {
  it('Norris to ten digits', () => {
    const fit = leastSquares(
      NORRIS.map(([, x]) => [x]),
      NORRIS.map(([y]) => y),
      ['x'],
    );
    expect(digits(fit.intercept, certified.norris.b0)).toBeGreaterThan(10);
    expect(digits(fit.coefficients[0], certified.norris.b1)).toBeGreaterThan(10);
    expect(digits(fit.residualSd, certified.norris.sd)).toBeGreaterThan(10);
  });

  it('Longley to nine digits, its columns nearly collinear', () => {
    const fit = leastSquares(
      LONGLEY.map(([, ...x]) => x),
      LONGLEY.map(([y]) => y),
      ['x1', 'x2', 'x3', 'x4', 'x5', 'x6'],
    );
    const found = [fit.intercept, ...fit.coefficients];
    found.forEach((value, j) => {
      expect(digits(value, certified.longley.b[j]), `b${j}`).toBeGreaterThan(9);
    });
    expect(digits(fit.residualSd, certified.longley.sd)).toBeGreaterThan(9);
    expect(fit.dropped).toEqual([]);
  });

  it('would be wrong on Longley without standardised columns, which is why they are', () => {
    const raw = new MultivariateLinearRegression(
      LONGLEY.map(([, ...x]) => x),
      LONGLEY.map(([y]) => [y]),
    );
    expect(digits(raw.weights[6][0], certified.longley.b[0])).toBeLessThan(4);
  });

  // The library solves by way of the squared condition number: about five digits are left of a quintic (R's QR keeps nine).
  it('Wampler1, an exact quintic, to four decimals of coefficients of one', () => {
    const x = Array.from({ length: 21 }, (_, i) => i);
    const fit = leastSquares(
      x.map((value) => [1, 2, 3, 4, 5].map((power) => value ** power)),
      x.map((value) => [0, 1, 2, 3, 4, 5].reduce((sum, power) => sum + value ** power, 0)),
      ['x1', 'x2', 'x3', 'x4', 'x5'],
    );
    for (const value of [fit.intercept, ...fit.coefficients]) expect(value).toBeCloseTo(1, 4);
  });
});

describe('contract: what least squares cannot use is left out by name', () => {
  const rows = [0, 1, 2, 3, 4, 5].map((x) => [x, 7, 2 * x + 1, x * x]);

  it('drops constant and collinear columns, and predicts as without them', () => {
    const y = rows.map(([x]) => 3 + 2 * x);
    const fit = leastSquares(rows, y, ['x', 'constant', 'twice', 'square']);
    expect(fit.dropped).toEqual(['constant', 'twice']);
    expect(fit.predict([10, 7, 21, 100])).toBeCloseTo(23, 9);
  });

  it('refuses more columns than rows can carry', () => {
    expect(() => leastSquares(rows.slice(0, 3), [1, 2, 4], ['x', 'constant', 'twice', 'square'])).toThrow(RangeError);
  });
});
