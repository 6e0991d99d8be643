import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { drifts } from '../../src/insight/drift.ts';
import { emptyMonth, type MonthScores } from '../../src/insight/scoring/month-scores.ts';
import { scoreShop } from '../../src/insight/scoring/score-shop.ts';
import { simulateShop } from '../support/simulate/shop.ts';

function months(kind: 'lumps' | 'strips', seed: number, change = (records: readonly FinishedJob[]) => records) {
  const { technicians, machines, records } = simulateShop(kind, seed, 240);
  return scoreShop({ technicians, machines, records: change(records), rules: {}, version: 1 });
}

/** Everything takes `factor` times as long from the month after two thirds of the jobs on. */
function slower(factor: number) {
  return (records: readonly FinishedJob[]) => {
    const from = startOf(records);
    return records.map((record) =>
      record.finishedAt < from
        ? record
        : { ...record, labour: record.labour.map((one) => ({ ...one, minutes: factor * one.minutes })) },
    );
  };
}

function startOf(records: readonly FinishedJob[]): string {
  return `${records[Math.floor((2 / 3) * records.length)].finishedAt.slice(0, 7)}-01`;
}

describe('recovery: drift', () => {
  it('says nothing of shops in which nothing changed', () => {
    const alarms = (['lumps', 'strips'] as const).flatMap((kind) => drifts(months(kind, 51)));
    expect(alarms).toEqual([]);
  });

  it('finds that jobs take half as long again, in the month in which it began, and says so', () => {
    for (const [kind, seed] of [
      ['lumps', 61],
      ['strips', 62],
    ] as const) {
      const began = startOf(simulateShop(kind, seed, 240).records).slice(0, 7);
      const found = drifts(months(kind, seed, slower(1.5)));
      expect(found.map(({ model, since }) => [model, since])).toEqual([['labour', began]]);
      expect(found[0].factor).toBeGreaterThan(1.15);
      expect(found[0].says).toMatch(new RegExp(`${began}.* jobs took \\d+ % longer than forecast`));
    }
  });
});

describe('identity: drift', () => {
  const month = (index: number, mean: number, n = 20): MonthScores => {
    // n outcomes about the mean with a variance of 0.04 within the month
    const own = {
      ...emptyMonth,
      n,
      residual: n * mean,
      residualSquares: n * mean ** 2 + 0.04 * (n - 1),
    };
    const models = { passes: emptyMonth, labour: own, water: emptyMonth, drying: emptyMonth };
    const name = `2025-${String(index + 1).padStart(2, '0')}`;
    return { month: name, jobsKnown: 100, jobs: n, basis: '', failed: null, models };
  };

  it('a clean step is found where it is, with its size', () => {
    const found = drifts([0, 0, 0, 0, 0, 0.4, 0.4, 0.4].map((mean, i) => month(i, mean)));
    expect(found).toMatchObject([{ model: 'labour', since: '2025-06', until: '2025-08', goesOn: true, outcomes: 60 }]);
    expect(found[0].factor).toBeCloseTo(Math.exp(0.4), 10);
  });

  it('one that the fits have learnt has an end', () => {
    const [found] = drifts([0, 0, 0, 0, -0.5, -0.4, 0, 0].map((mean, i) => month(i, mean)));
    expect(found).toMatchObject({ since: '2025-05', until: '2025-06', goesOn: false });
    expect(found.says).toContain('From 2025-05 to 2025-06 jobs took 36 % less than forecast');
  });

  it('says nothing on few jobs, or few months', () => {
    expect(drifts([0, 0, 0, 0, 0.4, 0.4].map((mean, i) => month(i, mean, 3)))).toEqual([]);
    expect(drifts([0, 0, 0.4].map((mean, i) => month(i, mean)))).toEqual([]);
  });
});
