import { describe, expect, it } from 'vitest';
import { dryHabitOf, dryHabits, dryTerm, machineShares, technicianShares } from '../../src/models/habits.ts';
import { done, now } from './shop-under-test.ts';

describe('dry passes', () => {
  it('count against one to a wet one, four at most', () => {
    expect([dryTerm(2, 2), dryTerm(4, 2), dryTerm(0, 2), dryTerm(20, 2)]).toEqual([0, 1, -1, 3]);
  });

  it('that nobody wrote down are the technician’s own mean, shrunk by four pseudo-records to the shop’s', () => {
    // Ann: four sections at two dry passes to a wet one (1), two jobs; ben: two sections with none (−1).
    const byBen = { labour: [{ technician: 'ben', minutes: 100 }] };
    const habits = dryHabits([
      done('a', { dryPasses: 4 }),
      done('b', { dryPasses: 4 }),
      done('c', { dryPasses: 0 }, byBen),
    ]);
    const shop = (4 - 2) / (6 + 4);
    expect(habits.shop).toBeCloseTo(shop, 12);
    expect(dryHabitOf(habits, 'ann')).toBeCloseTo((4 + 4 * shop) / 8, 12);
    expect(dryHabitOf(habits, 'ben')).toBeCloseTo((-2 + 4 * shop) / 6, 12);
    expect(dryHabitOf(habits, 'someone new')).toBe(habits.shop);
  });

  it('are not read from spot work, nor where they were not written down', () => {
    expect(dryHabits([done('a', { method: 'spot', dryPasses: 0 }), done('b')]).shop).toBe(0);
  });
});

describe('shares of recent jobs', () => {
  const byBen = { labour: [{ technician: 'ben', minutes: 100 }], extractor: 'high-one' };

  it('count the last half year alone, a job’s minutes split among its people', () => {
    const together = {
      labour: [
        { technician: 'ann', minutes: 30 },
        { technician: 'ben', minutes: 90 },
      ],
    };
    const records = [done('a', {}, together), done('old', {}, { ...byBen, finishedAt: '2025-01-01T10:00:00Z' })];
    expect(technicianShares(records, now)).toEqual([
      { key: 'ben', share: 0.75 },
      { key: 'ann', share: 0.25 },
    ]);
    expect(machineShares(records, now)).toEqual([{ key: 'standard-one', share: 1 }]);
  });

  it('count all jobs where the last half year has none, and nobody where there are no jobs', () => {
    const records = [done('old', {}, { ...byBen, finishedAt: '2025-01-01T10:00:00Z' })];
    expect(technicianShares(records, now)).toEqual([{ key: 'ben', share: 1 }]);
    expect(machineShares(records, now)).toEqual([{ key: 'high-one', share: 1 }]);
    expect(technicianShares([], now)).toEqual([]);
  });
});
