import { describe, expect, it } from 'vitest';
import { randomGenerator } from '../../src/inference/random.ts';
import { expectedMax } from '../../src/models/expected-max.ts';
import { truncatedNormal } from '../../src/models/truncated-normal.ts';

describe('the largest of normals', () => {
  /** Closed form: two standard normals have mean 1/√π and variance 1 − 1/π; Clark's formula is exact there. */
  it('is exact for two', () => {
    const { mean, variance } = expectedMax([
      { mean: 3, variance: 1 },
      { mean: 3, variance: 1 },
    ]);
    expect(mean).toBeCloseTo(3 + 1 / Math.sqrt(Math.PI), 12);
    expect(variance).toBeCloseTo(1 - 1 / Math.PI, 12);
  });

  /** Order statistics of five standard normals: mean 1.162964 (H. L. Harter, Biometrika 48, 1961; from memory, and by the simulation below). */
  it('is within 1 % for five', () => {
    const random = randomGenerator(3);
    let sum = 0;
    for (let i = 0; i < 200_000; i++) sum += Math.max(...[0, 0, 0, 0, 0].map(() => random.normal()));
    const { mean } = expectedMax([0, 0, 0, 0, 0].map(() => ({ mean: 0, variance: 1 })));
    expect(Math.abs(sum / 200_000 - 1.162964)).toBeLessThan(0.01);
    expect(Math.abs(mean / 1.162964 - 1)).toBeLessThan(0.01);
  });

  it('is the one far ahead, and the only one', () => {
    const far = { mean: 10, variance: 0.1 };
    const { mean, variance } = expectedMax([{ mean: 0, variance: 0.1 }, far]);
    expect(mean).toBeCloseTo(10, 10);
    expect(variance).toBeCloseTo(0.1, 10);
    expect(expectedMax([far])).toEqual(far);
    expect(expectedMax([far, { mean: 10, variance: 0 }, { mean: 2, variance: 0 }]).mean).toBeGreaterThan(10);
  });
});

describe('a normal in an interval', () => {
  const standard = { mean: 0, variance: 1 };

  /** Closed forms: the half normal has mean √(2/π) and variance 1 − 2/π. */
  it('above its mean is the half normal', () => {
    const { mean, variance } = truncatedNormal(standard, 0, Number.POSITIVE_INFINITY);
    expect(mean).toBeCloseTo(Math.sqrt(2 / Math.PI), 12);
    expect(variance).toBeCloseTo(1 - 2 / Math.PI, 12);
  });

  /** By quadrature with 20,000 midpoints. */
  it.each([
    [-1, 2],
    [1.5, 1.9],
    [Number.NEGATIVE_INFINITY, -2],
    [3, 5],
  ])('between %f and %f has the moments of a sum over it', (lower, upper) => {
    const from = Math.max(lower, -12);
    const step = (upper - from) / 20_000;
    let [weight, first, second] = [0, 0, 0];
    for (let i = 0; i < 20_000; i++) {
      const z = from + (i + 0.5) * step;
      const density = Math.exp(-0.5 * z * z);
      weight += density;
      first += z * density;
      second += z * z * density;
    }
    const { mean, variance } = truncatedNormal(standard, lower, upper);
    expect(mean).toBeCloseTo(first / weight, 6);
    expect(variance).toBeCloseTo(second / weight - (first / weight) ** 2, 6);
  });

  it('of no width is the reading, and of all widths the forecast', () => {
    expect(truncatedNormal(standard, 0.4, 0.4)).toEqual({ mean: 0.4, variance: 0 });
    const all = truncatedNormal({ mean: 2, variance: 3 }, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY);
    expect(all.mean).toBeCloseTo(2, 12);
    expect(all.variance).toBeCloseTo(3, 12);
  });

  it('far from the forecast stays inside it, with a variance of at most the uniform’s', () => {
    for (const [lower, upper] of [
      [30, 31],
      [-40, -39.5],
      [100, Number.POSITIVE_INFINITY],
    ]) {
      const { mean, variance } = truncatedNormal(standard, lower, upper);
      expect(mean).toBeGreaterThanOrEqual(lower);
      expect(mean).toBeLessThanOrEqual(upper);
      expect(variance).toBeGreaterThanOrEqual(0);
      expect(variance).toBeLessThanOrEqual((upper - lower) ** 2 / 12);
    }
  });
});
