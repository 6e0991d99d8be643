import { describe, expect, it } from 'vitest';
import { betaProbability, betaQuantile } from '../../src/inference/beta.ts';

describe('identity: the beta distribution', () => {
  it('is x^a for Beta(a, 1), and its mirror for Beta(1, b)', () => {
    for (const x of [0.01, 0.3, 0.77]) {
      expect(betaProbability(x, 2.5, 1)).toBeCloseTo(x ** 2.5, 13);
      expect(betaProbability(x, 1, 4)).toBeCloseTo(1 - (1 - x) ** 4, 13);
    }
  });

  it('is a binomial tail at whole parameters', () => {
    // P(Beta(3, 5) < 0.4) = P(Binomial(7, 0.4) ≥ 3)
    const term = (k: number, choose: number) => choose * 0.4 ** k * 0.6 ** (7 - k);
    const below = term(0, 1) + term(1, 7) + term(2, 21);
    expect(betaProbability(0.4, 3, 5)).toBeCloseTo(1 - below, 13);
  });

  it('is undone by its quantile', () => {
    for (const p of [0.05, 0.5, 0.95]) expect(betaProbability(betaQuantile(p, 0.8, 12), 0.8, 12)).toBeCloseTo(p, 9);
  });
});
