import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quantiles } from '../../src/inference/quantile.ts';
import { standardNormals } from '../../src/inference/random.ts';

const PROBABILITIES = [0, 0.05, 0.1, 0.25, 0.5, 0.5, 0.75, 0.95, 1];

describe('identity: quantiles by partial sorting', () => {
  it('are those of the sorted sample, ties, order and length whatever they are', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.oneof(
            fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 }),
            fc.integer({ min: 0, max: 3 }),
          ),
          { minLength: 1, maxLength: 300 },
        ),
        (drawn) => {
          // sorting puts −0 before 0, a comparison does not: only 0 is asked
          const values = drawn.map((value) => value + 0);
          const sorted = Float64Array.from(values).sort();
          const expected = PROBABILITIES.map((p) => {
            const position = p * (sorted.length - 1);
            const low = Math.floor(position);
            return position > low ? sorted[low] + (position - low) * (sorted[low + 1] - sorted[low]) : sorted[low];
          });
          expect(Array.from(quantiles(Float64Array.from(values), PROBABILITIES))).toEqual(
            expected.map((value) => value + 0),
          );
        },
      ),
      { numRuns: 500, seed: 1 },
    );
  });

  it('are those of the sorted sample for long ones: normal, heavy-tailed, crowded, with infinite ends', () => {
    const normals = standardNormals(4, 4000);
    const samples = [
      normals,
      normals.map((z) => Math.exp(4 * z)),
      normals.map((z) => Math.round(z)),
      normals.map((z, i) => (i === 0 ? 1e300 : z)),
      normals.map((z, i) => (i < 3 ? Number.POSITIVE_INFINITY : z)),
      new Float64Array(4000).fill(7),
    ];
    for (const sample of samples) {
      const sorted = sample.toSorted();
      const last = sorted.length - 1;
      const ranks = [0.05, 0.1, 0.5, 0.8, 0.95].map((p) => Math.round(p * last));
      expect(
        Array.from(
          quantiles(
            sample,
            ranks.map((rank) => rank / last),
          ),
        ),
      ).toEqual(ranks.map((rank) => expect.closeTo(sorted[rank], 10)));
    }
  });

  it('are infinite between two infinite values, not NaN', () => {
    const never = Number.POSITIVE_INFINITY;
    expect(Array.from(quantiles(Float64Array.of(1, never, -never, -never, never), [0.1, 0.5, 0.9]))).toEqual([
      -never,
      1,
      never,
    ]);
  });

  it('leaves the sample as it was', () => {
    const sample = Float64Array.of(3, 1, 2);
    expect(Array.from(quantiles(sample, [0.5]))).toEqual([2]);
    expect(Array.from(sample)).toEqual([3, 1, 2]);
  });

  it('are NaN for an empty sample and for one with a NaN', () => {
    expect(quantiles(new Float64Array(0), [0.5])[0]).toBeNaN();
    expect(quantiles(Float64Array.of(1, Number.NaN, 2), [0.5])[0]).toBeNaN();
  });
});

describe('reference: definition 7 of Hyndman and Fan, R 4.2.2 quantile(c(1, 3, 4, 8, 10), c(.1, .5, .9))', () => {
  it('agrees', () => {
    expect(Array.from(quantiles(Float64Array.of(10, 1, 8, 3, 4), [0.1, 0.5, 0.9]))).toEqual([1.8, 4, 9.2]);
  });
});
