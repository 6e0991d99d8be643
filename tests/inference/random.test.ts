import { describe, expect, it } from 'vitest';
import { normalStore, randomGenerator, standardNormals } from '../../src/inference/random.ts';

const N = 100_000;

describe('identity: the generator', () => {
  it('is uniform, to five standard errors in each of 20 bins, and never an end', () => {
    const generator = randomGenerator(1);
    const bins = new Array<number>(20).fill(0);
    for (let i = 0; i < N; i++) {
      const u = generator.uniform();
      if (!(u > 0 && u < 1)) throw new Error(`uniform() gave ${u}`);
      bins[Math.floor(20 * u)] += 1;
    }
    for (const count of bins) expect(Math.abs(count - N / 20)).toBeLessThan(5 * Math.sqrt(N / 20));
  });

  it('has normals with mean 0, variance 1, kurtosis 3, uncorrelated in sequence', () => {
    const normals = standardNormals(2, N);
    const mean = (power: number): number => normals.reduce((sum, z) => sum + z ** power, 0) / N;
    expect(Math.abs(mean(1))).toBeLessThan(5 / Math.sqrt(N));
    expect(Math.abs(mean(2) - 1)).toBeLessThan(5 * Math.sqrt(2 / N));
    expect(Math.abs(mean(4) - 3)).toBeLessThan(5 * Math.sqrt(96 / N));
    const lagged = normals.reduce((sum, z, i) => sum + (i > 0 ? z * normals[i - 1] : 0), 0) / N;
    expect(Math.abs(lagged)).toBeLessThan(5 / Math.sqrt(N));
  });

  it('has t with 4 degrees by its closed distribution function', () => {
    const generator = randomGenerator(3);
    const draws = Float64Array.from({ length: N }, () => generator.studentT(4)).sort();
    // with s = t/√(4 + t²), F(t) = ½ + ¾ s − ¼ s³
    const distribution = (t: number): number => {
      const s = t / Math.sqrt(4 + t * t);
      return 0.5 + 0.75 * s - 0.25 * s ** 3;
    };
    let distance = 0;
    draws.forEach((t, i) => {
      distance = Math.max(distance, Math.abs(distribution(t) - (i + 0.5) / N));
    });
    // Kolmogorov's 0.999 quantile: 1.95 / √N
    expect(distance).toBeLessThan(1.95 / Math.sqrt(N));
  });

  it('takes a fixed count of uniforms for each kind of number', () => {
    const takes = (use: (generator: ReturnType<typeof randomGenerator>) => void, count: number): boolean => {
      const [used, counted] = [randomGenerator(9), randomGenerator(9)];
      use(used);
      for (let i = 0; i < count; i++) counted.uniform();
      return used.uniform() === counted.uniform();
    };
    expect(takes((g) => g.normal(), 1)).toBe(true);
    expect(takes((g) => g.studentT(4), 2)).toBe(true);
    expect(takes((g) => g.studentT(2.5), 2)).toBe(true);
    expect(takes((g) => g.integer(7), 1)).toBe(true);
  });

  it('repeats for a seed, differs between neighbouring seeds, and knows no other generator', () => {
    const [a, b, c] = [randomGenerator(5), randomGenerator(5), randomGenerator(6)];
    const first = [a.uniform(), a.uniform()];
    expect([b.uniform(), b.uniform()]).toEqual(first);
    expect(c.uniform()).not.toBe(first[0]);
  });

  it('keeps the normals it has made', () => {
    const store = normalStore();
    expect(store(1, 100)).toBe(store(1, 100));
    expect(store(1, 100)).toEqual(standardNormals(1, 100));
    expect(store(2, 100)).not.toEqual(store(1, 100));
  });
});
