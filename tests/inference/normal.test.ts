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

// Made with mpmath 1.3.0 at 40 digits (300 for the tails), arguments as doubles: erfc(x/sqrt(2))/2 / phi(x), log(Phi(x)), log(Phi(b) - Phi(a)),
// findroot on log Phi, loggamma.
const MILLS: readonly (readonly [number, number])[] = [
  [0, 1.2533141373155002512],
  [0.1, 1.1592623996187363238],
  [0.5, 0.87636445645369234673],
  [0.66, 0.79356696417189547476],
  [0.67, 0.78882836276298590014],
  [1, 0.65567954241879847154],
  [2, 0.42136922928805447322],
  [3, 0.30459029871010329573],
  [5.6, 0.17335028501302024737],
  [5.7, 0.17047376074592785302],
  [8, 0.12313196325793229628],
  [12, 0.082766286501369177252],
  [40, 0.024984404205720571147],
  [1000, 0.000999999000002999985],
];
const LOG_PROBABILITY: readonly (readonly [number, number])[] = [
  [-100, -5005.5242086942050886],
  [-40, -804.60844201375378817],
  [-10, -53.231285150512470578],
  [-3, -6.6077262215103495433],
  [-1, -1.8410216450092635058],
  [-0.1, -0.77615459273027332557],
  [0, -0.69314718055994530942],
  [0.5, -0.36894641528865639307],
  [2, -0.023012909328963488465],
  [5, -2.8665161296376359338e-7],
  [8, -6.2209605742717860585e-16],
];
const LOG_INTERVAL: readonly (readonly [number, number, number])[] = [
  [-1, 1, -0.38171514630212607227],
  [0.5, 0.501, -7.9519439684159648311],
  [8, 9, -35.013618593437148117],
  [30, 30.001, -457.8416564778847762],
  [-9, -8, -35.013618593437148117],
  [-0.001, 0.002, -6.7280820235185500817],
  [-50, -40, -804.60844201375378817],
  [40, 41, -804.60844201375378817],
  [-3, 10, -0.0013508099647481937988],
];
const QUANTILE: readonly (readonly [number, number])[] = [
  [1e-300, -37.047096299361199237],
  [1e-20, -9.2623400897984075737],
  [0.001, -3.0902323061678135415],
  [0.02, -2.0537489106318230529],
  [0.03, -1.8807936081512509389],
  [0.1, -1.281551565544600467],
  [0.25, -0.6744897501960817432],
  [0.4999, -0.00025066283008803509892],
];
const LOG_GAMMA: readonly (readonly [number, number])[] = [
  [0.5, 0.57236494292470008707],
  [2.5, 0.28468287047291915963],
  [4.5, 2.4537365708424422205],
  [10, 12.801827480081469611],
  [33.3, 82.603723581654943008],
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
