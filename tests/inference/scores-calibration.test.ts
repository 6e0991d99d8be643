import { describe, expect, it } from 'vitest';
import { normalProbability } from '../../src/inference/normal.ts';
import { randomGenerator } from '../../src/inference/random.ts';
import { binomialPValue, centralCoverage, expectedNormalScore } from '../../src/inference/scores-calibration.ts';
import { shareAtOrBelow } from '../../src/inference/scores-ensemble.ts';

const random = randomGenerator(3);
const cuts = [-1.5, -0.2, 0.4, 0.9];
/** Outcomes N(0, 1) known by the interval between two cuts, as the forecast N(0, sd²) sees its ends. */
const seen = (sd: number, n = 20_000) =>
  Array.from({ length: n }, () => {
    const y = random.normal();
    const lower = cuts.filter((cut) => y > cut).at(-1) ?? Number.NEGATIVE_INFINITY;
    const upper = cuts.find((cut) => y <= cut) ?? Number.POSITIVE_INFINITY;
    return { below: normalProbability(lower / sd), above: normalProbability(upper / sd) };
  });

describe('recovery: calibration of outcomes that are only known by an interval', () => {
  it.each([0.5, 0.8, 0.9])('covers %d of them on average where the forecast is right', (level) => {
    const mean = seen(1).reduce((sum, { below, above }) => sum + centralCoverage(below, above, level) / 20_000, 0);
    expect(Math.abs(mean - level)).toBeLessThan(0.012);
  });

  it('covers fewer where the forecast is too narrow', () => {
    const mean = seen(0.5).reduce((sum, { below, above }) => sum + centralCoverage(below, above, 0.8) / 20_000, 0);
    expect(mean).toBeLessThan(0.7);
  });

  it('has a mean residual of zero where the forecast is right, and of less than the shift where it lies one to the left', () => {
    const mean = (shift: number) =>
      Array.from({ length: 20_000 }, () => random.normal()).reduce((sum, y) => {
        const lower = cuts.filter((cut) => y > cut).at(-1) ?? Number.NEGATIVE_INFINITY;
        const upper = cuts.find((cut) => y <= cut) ?? Number.POSITIVE_INFINITY;
        const [below, above] = [normalProbability(lower + shift), normalProbability(upper + shift)];
        return sum + expectedNormalScore(below, above, 1e-3) / 20_000;
      }, 0);
    expect(Math.abs(mean(0))).toBeLessThan(0.03);
    expect(mean(1)).toBeGreaterThan(0.5);
    expect(mean(1)).toBeLessThan(1);
  });

  it('takes an interval that the forecast held impossible for as far out as it is told', () => {
    expect(expectedNormalScore(1, 1, 0.025)).toBeCloseTo(1.959964, 5);
    expect(expectedNormalScore(0, 0, 0.025)).toBeCloseTo(-1.959964, 5);
  });
});

describe('identity: coverage and counts', () => {
  it('is all or nothing for an exact outcome, a share for one across an end', () => {
    expect(centralCoverage(0.3, 0.3, 0.8)).toBe(1);
    expect(centralCoverage(0.95, 0.95, 0.8)).toBe(0);
    expect(centralCoverage(0.05, 0.15, 0.8)).toBeCloseTo(0.5, 14);
    expect(centralCoverage(0, 1, 0.8)).toBeCloseTo(0.8, 14);
  });

  it('counts the share of a sample at or below a point', () => {
    const sorted = Float64Array.of(1, 2, 2, 5);
    expect([0, 1, 2, 4.9, 5, 9].map((y) => shareAtOrBelow(sorted, y))).toEqual([0, 0.25, 0.75, 0.75, 1, 1]);
  });
});

describe('reference: exact binomial p-values', () => {
  it('agrees with tails summed by hand', () => {
    // by hand: 2 · P(X ≤ 1 | 5, ½) = 2 · 6/32; 2 · P(X ≥ 5 | 5, .8) = 2 · .32768; P(X ≤ 0 | 10, .3) = .7¹⁰
    expect(binomialPValue(1, 5, 0.5)).toBeCloseTo(0.375, 12);
    expect(binomialPValue(5, 5, 0.8)).toBeCloseTo(0.65536, 12);
    expect(binomialPValue(0, 10, 0.3)).toBeCloseTo(2 * 0.7 ** 10, 12);
    expect(binomialPValue(400, 500, 0.8)).toBe(1);
    expect(binomialPValue(0, 0, 0.8)).toBe(1);
  });

  it('does not lose a tail to underflow in long series', () => {
    expect(binomialPValue(7900, 10_000, 0.8)).toBeGreaterThan(0.01);
    expect(binomialPValue(7900, 10_000, 0.8)).toBeLessThan(0.0135);
  });
});
