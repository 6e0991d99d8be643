import { describe, expect, it } from 'vitest';
import { inverse } from '../../src/inference/cholesky.ts';
import { logGamma } from '../../src/inference/normal.ts';
import type { Posterior } from '../../src/inference/types.ts';
import { exactly, fitted, smallProblem } from '../inference/support.ts';

// Normal-inverse-gamma regression, closed form. y = b0 + b1 x + e; b | s² ~ N((0, 1), s² diag(100, 4)); s² ~ IG(2, 1).
// Vn⁻¹ = V0⁻¹ + X'X = [5.01 15; 15 55.25], mn = Vn (V0⁻¹ m0 + X'y), an = a0 + n/2, bn = b0 + (m0'V0⁻¹m0 + y'y − mn'Vn⁻¹mn)/2.
const X = [1, 2, 3, 4, 5];
const Y = [2.1, 3.9, 6.2, 7.8, 10.1];
const MEAN = [6.275 / 51.8025, 101.8545 / 51.8025];
const COVARIANCE = [1.06655084214082, -0.289561314608368, 0.0967134790791951];
const LOG_EVIDENCE = -7.82882618065525;
const EXPECTED_VARIANCE = 0.335171013533588;
/** mn after rows 1, 1–2, … , 1–5. */
const SEQUENCE = [
  [1.047619, 1.041905],
  [0.676328502, 1.546859903],
  [0.195865071, 1.935074356],
  [0.258185659, 1.896467551],
  [0.12113315, 1.966208195],
];

const design = X.map((x) => [1, x]);
const given = (sigma: number, rows = 5): Posterior =>
  fitted(
    smallProblem({
      design: design.slice(0, rows),
      ends: exactly(Y.slice(0, rows)),
      mean: [0, 1],
      sd: [10 * sigma, 2 * sigma],
      sigma: { logMean: Math.log(sigma), logSd: 0 },
    }),
  );

describe('reference: conjugate regression, the spread known', () => {
  it('has the exact posterior mean and covariance at every sigma', () => {
    for (const sigma of [0.1, 0.5, 1, 3]) {
      const point = given(sigma).points[0];
      expect(given(sigma).points).toHaveLength(1);
      point.mode.forEach((value, j) => {
        expect(Math.abs(value - MEAN[j])).toBeLessThan(2e-13);
      });
      inverse(point.precisionFactor, 2).forEach((value, k) => {
        expect(Math.abs(value / (sigma * sigma * COVARIANCE[k]) - 1)).toBeLessThan(1e-12);
      });
    }
  });

  it('has the exact evidence and expected variance once sigma is integrated over its prior', () => {
    // s² ~ IG(2, 1): on t = log s, density 2 · 1²/Γ(2) s^−4 exp(−1/s²)
    const nodes = Array.from({ length: 1201 }, (_, k) => -4 + k * 0.005);
    const terms = nodes.map((t) => {
      const logPrior = Math.log(2) - logGamma(2) - 4 * t - Math.exp(-2 * t);
      return { variance: Math.exp(2 * t), density: 0.005 * Math.exp(given(Math.exp(t)).trace.logMarginal + logPrior) };
    });
    const evidence = terms.reduce((sum, term) => sum + term.density, 0);
    const variance = terms.reduce((sum, term) => sum + term.density * term.variance, 0) / evidence;
    // beyond e² the density of t falls as s^(−2 a_n) = s^−9: about 1e-7 of it is left out
    expect(Math.log(evidence)).toBeCloseTo(LOG_EVIDENCE, 6);
    expect(variance).toBeCloseTo(EXPECTED_VARIANCE, 5);
  });

  it('has the exact means row by row as the data come in', () => {
    SEQUENCE.forEach((expected, k) => {
      given(0.7, k + 1).points[0].mode.forEach((value, j) => {
        expect(Math.abs(value - expected[j])).toBeLessThan(6e-10 + (k === 0 ? 5e-7 : 0));
      });
    });
  });
});

describe('identity: a posterior passed on as the next prior', () => {
  it('gives the answer of all rows at once, whitened coefficients carrying the covariance', () => {
    const sigma = 0.7;
    let mean = [0, 1];
    // rows of R with covariance R Rᵀ: b = mean + R g, g ~ N(0, I)
    let root = [
      [10 * sigma, 0],
      [0, 2 * sigma],
    ];
    X.forEach((x, i) => {
      const row = [1, x];
      const point = fitted(
        smallProblem({
          design: [[0, 1].map((j) => row[0] * root[0][j] + row[1] * root[1][j])],
          ends: exactly([Y[i]]),
          offset: [row[0] * mean[0] + row[1] * mean[1]],
          mean: [0, 0],
          sd: [1, 1],
          sigma: { logMean: Math.log(sigma), logSd: 0 },
        }),
      ).points[0];
      mean = root.map((r, k) => mean[k] + r[0] * point.mode[0] + r[1] * point.mode[1]);
      root = timesInverseTransposed(root, point.precisionFactor);
    });
    const covariance = [root[0], root[1]].map((a) => [root[0], root[1]].map((b) => a[0] * b[0] + a[1] * b[1]));
    expect(Math.abs(mean[0] - MEAN[0])).toBeLessThan(1e-12);
    expect(Math.abs(mean[1] - MEAN[1])).toBeLessThan(1e-12);
    [covariance[0][0], covariance[1][0], covariance[1][1]].forEach((value, k) => {
      expect(Math.abs(value / (sigma * sigma * COVARIANCE[k]) - 1)).toBeLessThan(1e-11);
    });
  });
});

/** R L⁻ᵀ for 2 × 2: the covariance of the whitened coefficients is (L Lᵀ)⁻¹. */
function timesInverseTransposed(root: number[][], packed: Float64Array): number[][] {
  const [a, b, c] = packed;
  return root.map(([first, second]) => [first / a, (second - (first / a) * b) / c]);
}
