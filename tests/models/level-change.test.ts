import { describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { decodeShopFit, encodeShopFit } from '../../src/models/fit-codec.ts';
import { summariseShopFit } from '../../src/models/fit-summary.ts';
import { beforeEntries, beforeTerm, stepsBack, withChanges, withSteps } from '../../src/models/layout.ts';
import { modelNames, type ShopFit } from '../../src/models/shop-fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { fitOf, seats } from './shop-under-test.ts';

const month = '2025-07';
const now = new Date('2026-01-05T00:00:00Z');
const { technicians, machines, records } = simulateShop('strips', 71, 240);
const lists = { technicians, machines, now };
const isBefore = ({ finishedAt }: FinishedJob) => finishedAt < `${month}-01`;
const slower = records.map((record) =>
  isBefore(record)
    ? record
    : { ...record, labour: record.labour.map((one) => ({ ...one, minutes: 1.3 * one.minutes })) },
);
const changes = { labour: [month] };
const labourTerms = (fit: ShopFit) => summariseShopFit(fit).models.labour.terms;
const termOf = (fit: ShopFit, name: string) => labourTerms(fit).find(({ term }) => term === name) ?? expect.fail(name);

describe('identity: the level of other times', () => {
  it('may step every half-year back from the latest record, as far as there are any from before', () => {
    const latest = '2026-01-04T10:00:00Z';
    expect(stepsBack(['2019-03-01T00:00:00Z', latest])).toEqual(['2024-02', '2024-08', '2025-02', '2025-08']);
    expect(stepsBack([latest, '2025-02-28T23:00:00Z'])).toEqual(['2025-08']);
    expect(stepsBack(['2025-08-01T00:00:00Z', latest])).toEqual([]);
    expect(stepsBack([])).toEqual([]);
  });

  it('has the steps’ terms between those of the model and those of known changes', () => {
    const layout = withChanges(withSteps({ terms: ['int'], technicians: [] }, ['2025-08']), ['2025-10']);
    expect(layout.terms).toEqual(['int', 'crept 2025-08', 'before 2025-10']);
    expect(beforeEntries(layout, '2025-07-31T00:00:00Z')).toEqual([
      [1, 1],
      [2, 1],
    ]);
    expect(beforeEntries(layout, '2025-09-01T00:00:00Z')).toEqual([[2, 1]]);
    expect(beforeEntries(layout, '2025-10-01T00:00:00Z')).toEqual([]);
  });
});

describe('recovery: a shop that gets slower by a quarter a year, little by little', () => {
  const overTwoYears = simulateShop('lumps', 1, 400);
  const [first] = overTwoYears.records;
  const yearMs = 365.25 * 86_400_000;
  const start = Date.parse(first.finishedAt);
  const years = ({ finishedAt }: FinishedJob) => (2 * (Date.parse(finishedAt) - start)) / yearMs;
  const stretched = (factor: number) =>
    overTwoYears.records.map((record) => ({
      ...record,
      finishedAt: new Date(start + (years(record) - 1) * yearMs).toISOString(),
      labour: record.labour.map((one) => ({ ...one, minutes: one.minutes * factor ** years(record) })),
    }));
  const hours = (factor: number) => {
    const own = { technicians: overTwoYears.technicians, machines: overTwoYears.machines, now };
    const job = seats({}, { technician: 'tech-1', extractor: 'standard-1', startAt: '2026-01-10T09:00:00Z' });
    const fit = fitOf(stretched(factor), own);
    return simulateJob(fit, plannedWork(fit, job, own), 2000).labourHours.sort()[1000];
  };

  it('is followed: its jobs are forecast a twelfth too short, and not a fifth as where all records count alike', () => {
    const followed = hours(1.25) / (hours(1) * 1.25 ** 2);
    expect(followed).toBeGreaterThan(0.9);
    expect(followed).toBeLessThan(1);
  });
});

describe('identity: the level before a change', () => {
  const layout = { terms: ['int', 'light'], technicians: ['ann'], machines: [] };

  it('is a term a change, the last ones, 1 before its month and 0 since; no change, no term', () => {
    const two = withChanges(layout, ['2025-03', '2025-07']);
    expect(two.terms).toEqual(['int', 'light', 'before 2025-03', 'before 2025-07']);
    const at = (instant: string) => beforeEntries(two, instant).map(([column]) => column);
    expect(at('2025-02-28T23:59:59Z')).toEqual([2, 3]);
    expect(at('2025-03-01T00:00:00Z')).toEqual([3]);
    expect(at('2025-07-01T01:30:00+02:00')).toEqual([3]);
    expect(at('2025-07-01T00:00:00Z')).toEqual([]);
    expect(withChanges(layout, [])).toBe(layout);
    expect(withChanges(layout)).toBe(layout);
  });

  it('no other model’s fit moves by a digit', () => {
    const [plain, shifted] = [fitOf(slower, lists), fitOf(slower, { ...lists, changes })];
    for (const model of modelNames.filter((name) => name !== 'labour'))
      expect(shifted.models[model]).toEqual(plain.models[model]);
  });

  it('a fit with one is stored and read as it was', () => {
    const fit = fitOf(slower.slice(-60), { ...lists, changes: { labour: [month], water: ['2025-11'] } });
    expect(decodeShopFit(encodeShopFit(fit))).toEqual(fit);
  });
});

describe('recovery: a shop whose hours grow by three tenths from a month on', () => {
  const unchanged = fitOf(records, { ...lists, changes });
  const fit = fitOf(slower, { ...lists, changes });

  it('the step is in the term for the level before, and hardly anywhere else', () => {
    for (const { term, mean, sd } of labourTerms(fit)) {
      const own = termOf(unchanged, term);
      const step = { int: Math.log(1.3), [beforeTerm(month)]: -Math.log(1.3) }[term] ?? 0;
      expect(Math.abs(mean - own.mean - step), term).toBeLessThan(0.1 * sd + 0.01);
    }
    const { p05, p95 } = termOf(fit, beforeTerm(month));
    expect(p05).toBeLessThan(-Math.log(1.3));
    expect(p95).toBeGreaterThan(-Math.log(1.3));
    expect(p95).toBeLessThan(-0.15);
  });

  it('work to come is forecast at the level of now, work of before at that of before', () => {
    const middle = (of: ShopFit, startAt: string) => {
      const work = plannedWork(of, seats({}, { technician: 'tech-1', extractor: 'standard-1', startAt }), lists);
      return simulateJob(of, work, 2000).labourHours.sort()[1000];
    };
    const [now, before] = [middle(fit, '2026-01-10T09:00:00Z'), middle(fit, '2025-04-10T09:00:00Z')];
    expect(now / before).toBeCloseTo(1.3, 1);
    expect(now / middle(unchanged, '2026-01-10T09:00:00Z')).toBeCloseTo(1.3, 1);
    const allAlike = fitOf(slower, lists);
    // Who does not know of it follows all the same, from half-year to half-year.
    const unaware = middle(allAlike, '2026-01-10T09:00:00Z') / now;
    expect(unaware).toBeLessThan(0.98);
    expect(unaware).toBeGreaterThan(0.93);
  });
});
