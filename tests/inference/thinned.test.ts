import { describe, expect, it } from 'vitest';
import { thinnedProblem } from '../../src/inference/thinned.ts';
import { groupedProblem } from './grouped-problem.ts';
import { fitted, smallProblem } from './support.ts';

describe('identity: a problem thinned out', () => {
  it('keeps one whole row of every block, whatever the rhythm of the rows', () => {
    const rows = Array.from({ length: 5000 }, (_, i) => i);
    const problem = smallProblem({
      design: rows.map((i) => [1, i]),
      ends: rows.map((i) => [i, i % 10 === 0 ? 1e6 : i + 1]),
      offset: rows,
    });
    const thinned = thinnedProblem(problem, 50);
    expect(thinned.rows.nRows).toBe(100);
    for (let k = 0; k < 100; k++) {
      const row = thinned.observations.lower[k];
      expect(Math.floor(row / 50)).toBe(k);
      expect(thinned.observations.offset[k]).toBe(row);
      if (row > 0) expect(thinned.rows.value[thinned.rows.rowStart[k] + 1]).toBe(row);
    }
    const wide = thinned.observations.upper.filter((upper) => upper === 1e6).length;
    // binomial(100, 0.1), four standard deviations
    expect(Math.abs(wide - 10)).toBeLessThan(12);
  });

  it('leads a large fit to the maximum that the priors as a start lead to', () => {
    const problem = groupedProblem('censored', 20_500, 3);
    const begunOnFew = fitted(problem).points[0];
    const start = { tau: Float64Array.of(0.4, 0.3), sigma: 0.4, mode: new Float64Array(11) };
    const begunOnPriors = fitted(problem, { start }).points[0];
    expect(begunOnFew.sigma / begunOnPriors.sigma).toBeCloseTo(1, 5);
    begunOnPriors.mode.forEach((value, j) => {
      expect(begunOnFew.mode[j]).toBeCloseTo(value, 3);
    });
  });
});
