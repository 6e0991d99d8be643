import { describe, expect, it } from 'vitest';
import { compositeDesign, standardDeviations } from '../../src/inference/design.ts';

describe('identity: the central composite design', () => {
  it('has 1, 3, 9, 15 and 25 points for 0 to 4 spreads', () => {
    expect([0, 1, 2, 3, 4].map((m) => compositeDesign(m).length)).toEqual([1, 3, 9, 15, 25]);
  });

  it('gives a standard normal its moments: 1, mean 0, covariance the identity', () => {
    for (const m of [1, 2, 3, 4]) {
      // the density relative to the centre, as the fit weighs it
      const points = compositeDesign(m).map(({ z, weight }) => ({
        z,
        w: weight * Math.exp(-0.5 * z.reduce((sum, x) => sum + x * x, 0)),
      }));
      const moment = (of: (z: Float64Array) => number): number => points.reduce((sum, { z, w }) => sum + w * of(z), 0);
      expect(moment(() => 1)).toBeCloseTo(1, 12);
      for (let i = 0; i < m; i++) {
        expect(moment((z) => z[i])).toBeCloseTo(0, 12);
        for (let j = 0; j < m; j++) expect(moment((z) => z[i] * z[j])).toBeCloseTo(i === j ? 1 : 0, 12);
      }
    }
  });

  it('scales by the inverse of the curvature, and no flat direction beyond 2', () => {
    const root = standardDeviations(Float64Array.of(4, 1, 1, 3), 2);
    // [4 1; 1 3]⁻¹ = [3 −1; −1 4] / 11
    const [a, b, c, d] = root;
    expect(a * a + b * b).toBeCloseTo(3 / 11, 12);
    expect(a * c + b * d).toBeCloseTo(-1 / 11, 12);
    expect(c * c + d * d).toBeCloseTo(4 / 11, 12);
    expect(Math.abs(standardDeviations(Float64Array.of(-1), 1)[0])).toBe(2);
  });
});
