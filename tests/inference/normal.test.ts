import { describe, expect, it } from 'vitest';
import {
  logGamma,
  logNormalInterval,
  logNormalProbability,
  logStudentConstant,
  logStudentKernel,
  millsRatio,
  normalDensity,
  normalProbability,
  normalQuantile,
} from '../../src/inference/normal.ts';

// Made with mpmath 1.3.0 at 40 digits and rounded to doubles (300 for the tails), arguments as doubles: erfc(x/sqrt(2))/2 / phi(x), log(Phi(x)), log(Phi(b) - Phi(a)),
// findroot on log Phi, loggamma.
const MILLS: readonly (readonly [number, number])[] = [
  [0, 1.2533141373155003],
  [0.1, 1.1592623996187363],
  [0.5, 0.8763644564536923],
  [0.66, 0.7935669641718954],
  [0.67, 0.7888283627629858],
  [1, 0.6556795424187984],
  [2, 0.4213692292880545],
  [3, 0.3045902987101033],
  [5.6, 0.17335028501302024],
  [5.7, 0.17047376074592785],
  [8, 0.1231319632579323],
  [12, 0.08276628650136918],
  [40, 0.02498440420572057],
  [1000, 0.0009999990000029999],
];
const LOG_PROBABILITY: readonly (readonly [number, number])[] = [
  [-100, -5005.524208694205],
  [-40, -804.6084420137538],
  [-10, -53.23128515051247],
  [-3, -6.607726221510349],
  [-1, -1.8410216450092636],
  [-0.1, -0.7761545927302733],
  [0, -Math.LN2],
  [0.5, -0.3689464152886564],
  [2, -0.02301290932896349],
  [5, -2.866516129637636e-7],
  [8, -6.220960574271786e-16],
];
const LOG_INTERVAL: readonly (readonly [number, number, number])[] = [
  [-1, 1, -0.38171514630212605],
  [0.5, 0.501, -7.951943968415965],
  [8, 9, -35.01361859343715],
  [30, 30.001, -457.8416564778848],
  [-9, -8, -35.01361859343715],
  [-0.001, 0.002, -6.72808202351855],
  [-50, -40, -804.6084420137538],
  [40, 41, -804.6084420137538],
  [-3, 10, -0.0013508099647481938],
];
const QUANTILE: readonly (readonly [number, number])[] = [
  [1e-300, -37.0470962993612],
  [1e-20, -9.262340089798407],
  [0.001, -3.0902323061678136],
  [0.02, -2.053748910631823],
  [0.03, -1.8807936081512509],
  [0.1, -1.2815515655446004],
  [0.25, -0.6744897501960817],
  [0.4999, -0.0002506628300880351],
];
const LOG_GAMMA: readonly (readonly [number, number])[] = [
  [0.5, 0.5723649429247001],
  [2.5, 0.2846828704729192],
  [4.5, 2.4537365708424423],
  [10, 12.801827480081469],
  [33.3, 82.60372358165495],
];

const relative = (value: number, expected: number): number => Math.abs(value / expected - 1);

describe('reference: the normal distribution against 40-digit values', () => {
  it("gives Mills' ratio to 1e-15 in the centre, at the seams of its three approximations and far out", () => {
    for (const [x, expected] of MILLS) expect(relative(millsRatio(x), expected), `at ${x}`).toBeLessThan(1e-15);
  });

  it('gives log Φ from −100 to 8, in the upper tail to the x²/2 roundings of its exponential', () => {
    for (const [x, expected] of LOG_PROBABILITY) {
      const tolerance = x > 0 ? 2.2e-16 * Math.max(4, (x * x) / 2) : 1e-15;
      expect(relative(logNormalProbability(x), expected), `at ${x}`).toBeLessThan(tolerance);
    }
  });

  it('gives the logarithm of an interval in either tail, where the difference of probabilities is 0', () => {
    for (const [a, b, expected] of LOG_INTERVAL) {
      expect(relative(logNormalInterval(a, b), expected), `[${a}, ${b}]`).toBeLessThan(1e-12);
    }
  });

  it('gives quantiles to 1e-15 down to 1e-300, and their mirror above one half', () => {
    for (const [p, expected] of QUANTILE) {
      // near one half the quantile itself is small: its error is one of p − ½
      expect(Math.abs(normalQuantile(p) - expected), `at ${p}`).toBeLessThan(1e-15 * Math.max(1, Math.abs(expected)));
    }
    expect(normalQuantile(0.75)).toBe(-normalQuantile(0.25));
  });

  it('gives log Γ to 2e-14: the recurrence from 10 takes off a sum of about 13', () => {
    for (const [x, expected] of LOG_GAMMA) {
      expect(Math.abs(logGamma(x) - expected), `at ${x}`).toBeLessThan(2e-14 * Math.max(1, expected));
    }
    expect(Math.abs(logGamma(1))).toBeLessThan(2e-14);
    expect(Math.abs(logGamma(2))).toBeLessThan(2e-14);
  });
});

describe('identity: the normal and Student distributions', () => {
  it('integrates both densities to 1', () => {
    // t with 4 degrees leaves (2·3/8)·4^(5/2)·2/(4·x⁴)-like tails: beyond ±400, 3·4/(400⁴)·2 in all, under 1e-9
    expect(trapezium(normalDensity, -12, 12, 4000)).toBeCloseTo(1, 12);
    const constant = logStudentConstant(4);
    expect(trapezium((z) => Math.exp(constant + logStudentKernel(z, 4)), -400, 400, 80_000)).toBeCloseTo(1, 8);
  });

  it('has Φ(q(p)) = p', () => {
    for (const p of [1e-12, 0.001, 0.3, 0.5, 0.9, 0.999999]) {
      expect(relative(normalProbability(normalQuantile(p)), p)).toBeLessThan(1e-14);
    }
  });

  it('gives the ends of their range', () => {
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(normalQuantile(1.1)).toBeNaN();
    expect(logNormalInterval(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY)).toBeCloseTo(0, 15);
    expect(logNormalInterval(2, 2)).toBe(Number.NEGATIVE_INFINITY);
    expect(logNormalInterval(2, 1)).toBeNaN();
    expect(logNormalInterval(3, Number.POSITIVE_INFINITY)).toBe(logNormalProbability(-3));
  });
});

function trapezium(density: (x: number) => number, from: number, to: number, steps: number): number {
  const width = (to - from) / steps;
  let sum = 0.5 * (density(from) + density(to));
  for (let k = 1; k < steps; k++) sum += density(from + k * width);
  return sum * width;
}
