import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlannedJob } from '../../src/domain/planned.ts';
import { type Explanation, type Explanations, explanation } from '../../src/models/estimate/drivers.ts';
import { driversInWords } from '../../src/models/estimate/drivers-in-words.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import type { Driver } from '../../src/models/terms/term.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { context, done, fitOf, seats, technicians } from './shop-under-test.ts';

const byRules = fitOf([]);
const shop = simulateShop('strips', 7, 120);
const lists = { technicians: shop.technicians, machines: shop.machines };
const now = new Date('2026-01-05T00:00:00Z');
const fit = fitOf(shop.records, { ...lists, now });
const figures = ['passes', 'labourHours', 'waterLPerM2', 'dryHours'] as const;

const explained = (job: PlannedJob) => estimateJob(byRules, job, context).drivers;
const sum = ({ typical, parts }: Explanation) => parts.reduce((total, { adds }) => total + adds, typical);
const partOf = ({ parts }: Explanation, driver: Driver) => parts.find((part) => part.driver === driver);

/** Adding in floating point, and the tenth decimal that the last part is given to. */
const tolerance = 1e-9;

describe('identity: what drives a figure', () => {
  it('adds up to the figure that the estimate shows, for a shop’s own jobs of all kinds', () => {
    for (let i = 0; i < 30; i++) {
      const { planned } = shop.plan(i);
      const estimate = estimateJob(fit, planned, { ...context, ...lists, now, nDraws: 500 });
      for (const figure of figures)
        expect(Math.abs(sum(estimate.drivers[figure]) - estimate.drivers[figure].shown)).toBeLessThan(tolerance);
      expect(estimate.drivers.waterLPerM2.shown).toBe(estimate.waterLPerM2.p50);
      expect(estimate.drivers.labourHours.shown).toBe(estimate.labourHours.p50);
      expect(estimate.drivers.dryHours.shown).toBe(estimate.dryHours.p50);
    }
  });

  it('multiplies up to the figure as well: typical × all factors', () => {
    const job = seats({ soil: 'severe', fabric: 'velour' }, { bodyStyle: 'suv', extractor: 'entry-one' });
    const { labourHours, waterLPerM2, dryHours } = explained(job);
    for (const { typical, parts, shown } of [labourHours, waterLPerM2, dryHours]) {
      const product = parts.reduce((total, { factor }) => total * factor, typical);
      // Five digits in each factor and in the typical figure.
      expect(Math.abs(product / shown - 1)).toBeLessThan(5e-5 * (parts.length + 1));
    }
  });

  it('adds up whatever the parts are, also where they cancel', () => {
    const logs = fc.array(fc.double({ min: -2, max: 2, noNaN: true }), { maxLength: 6 });
    const drivers = ['soil', 'fabric', 'method', 'crew', 'air', 'season'] as const;
    const figure = fc.double({ min: 0.01, max: 100, noNaN: true });
    fc.assert(
      fc.property(logs, figure, figure, (values, typical, shown) => {
        const parts = new Map<Driver, number>(values.map((log, i) => [drivers[i], log]));
        const told = explanation((log) => typical * Math.exp(log), parts, shown);
        expect(Math.abs(sum(told) - shown)).toBeLessThan(tolerance * (1 + typical * Math.exp(12)));
        for (const { factor, adds, driver } of told.parts)
          if (driver !== 'spread') expect(Math.sign(adds) * Math.sign(Math.log(factor))).toBeGreaterThanOrEqual(0);
      }),
      { numRuns: 300, seed: 2 },
    );
    const cancelled = explanation(
      (log) => 3 * Math.exp(log),
      new Map([
        ['soil', 0.4],
        ['crew', -0.4],
      ]),
      3,
    );
    expect(cancelled.parts.map(({ adds }) => adds)).toEqual([1.2, -1.2, 0]);
  });
});

describe('what drives a figure by the rules of thumb alone', () => {
  it('is next to nothing for the typical job', () => {
    const typical = seats({ dryPasses: undefined }, { drying: { aid: 'still-air', airC: 20, rhPercent: 50 } });
    const { labourHours, waterLPerM2 } = explained(typical);
    // 25 + 2 × 6 + 3.3 m² × (9 + 8 × 2.2) + 3 × 20 = 184.78 minutes, × exp 0.15; litres: exp −1.05. Tolerance: five digits.
    expect(Math.abs(labourHours.typical / ((184.78 / 60) * Math.exp(0.15)) - 1)).toBeLessThan(5e-5);
    expect(Math.abs(waterLPerM2.typical / Math.exp(-1.05) - 1)).toBeLessThan(5e-5);
    for (const { parts } of [labourHours, waterLPerM2])
      for (const { factor } of parts) expect(Math.abs(Math.log(factor))).toBeLessThan(0.1);
  });

  // Each factor is exp of the rule's mean; air by the ASHRAE relation at 0.1 and 1.5 m/s: (0.089 + 0.0782 v) upside down.
  it.each<[string, PlannedJob, keyof Explanations, Driver, number]>([
    ['heavy soil on passes', seats({ soil: 'heavy' }), 'passes', 'soil', Math.exp(0.42)],
    ['heavy soil on hours', seats({ soil: 'heavy' }), 'labourHours', 'soil', Math.exp(0.05)],
    ['a high-grade extractor on passes', seats({}, { extractor: 'high-one' }), 'passes', 'extractor', Math.exp(-0.3)],
    ['an entry extractor on water', seats({}, { extractor: 'entry-one' }), 'waterLPerM2', 'extractor', Math.exp(0.22)],
    ['spot work on water', seats({ method: 'spot' }), 'waterLPerM2', 'method', Math.exp(-1.05)],
    ['velour on drying', seats({ fabric: 'velour' }), 'dryHours', 'fabric', Math.exp(0.1)],
    ['a coupe on hours', seats({}, { bodyStyle: 'coupe' }), 'labourHours', 'body style', Math.exp(0.04)],
    ['a crew of two on hours', seats({}, { crew: 2 }), 'labourHours', 'crew', Math.exp(0.04)],
    [
      'a fan on drying',
      seats({}, { drying: { aid: 'fan', airC: 20, rhPercent: 50 } }),
      'dryHours',
      'air',
      (0.089 + 0.0782 * 0.1) / (0.089 + 0.0782 * 1.5),
    ],
  ])('%s', (_, job, figure, driver, factor) => {
    expect(Math.abs((partOf(explained(job)[figure], driver)?.factor ?? 0) / factor - 1)).toBeLessThan(1e-4);
  });

  it('takes 60 minutes of three seat pieces off where they stay in', () => {
    const [out, left] = [seats(), seats({}, { seatsRemoved: false })].map((job) => explained(job).labourHours);
    expect(partOf(out, 'seats in or out')).toBeUndefined();
    // (184.78 − 60) / 184.78 = 0.675 at 2.2 passes; a little less at the two that they get.
    const factor = partOf(left, 'seats in or out')?.factor ?? 0;
    expect(factor).toBeGreaterThan(0.66);
    expect(factor).toBeLessThan(0.675);
  });

  it('names what weighs most first', () => {
    const { parts } = explained(seats({ soil: 'severe' }, { bodyStyle: 'suv' })).labourHours;
    const weights = parts.slice(0, -1).map(({ adds }) => Math.abs(adds));
    expect(weights).toEqual(weights.toSorted((a, b) => b - a));
    expect(parts[0].driver).toBe('surface and passes');
    expect(parts.at(-1)?.driver).toBe('spread');
  });
});

describe('what drives a figure in a shop of more than a year', () => {
  const months = Array.from({ length: 16 }, (_, k) => new Date(Date.UTC(2025, k, 3, 15)).toISOString());
  const records = months.flatMap((finishedAt, k) =>
    technicians.map(({ key: technician }) =>
      done(
        `${technician}-${k}`,
        {},
        { finishedAt, labour: [{ technician, minutes: technician === 'dan' ? 400 : 200 }] },
      ),
    ),
  );
  const { labourHours, dryHours } = estimateJob(fitOf(records), seats({}, { technician: 'dan' }), context).drivers;

  it('is the technician where he is slow, the last of the list too', () => {
    expect(partOf(labourHours, 'technician')?.factor).toBeGreaterThan(1.2);
  });

  it('is no extractor in the drying, which knows of none', () => {
    expect(partOf(dryHours, 'extractor')).toBeUndefined();
  });
});

describe('contract: what moved it, in words', () => {
  const job = seats({ soil: 'heavy', fabric: 'velour' }, { bodyStyle: 'suv', crew: 2, extractor: 'high-one' });

  it.each(['passes', 'labourHours', 'waterLPerM2', 'dryHours'] as const)('%s adds up as it is printed', (figure) => {
    const { text, shown } = explained(job)[figure];
    const { typical, rest, told } = printed(text);
    expect(rest.length).toBeGreaterThan(1);
    expect(rest.reduce((sum, part) => sum + part, typical)).toBeCloseTo(told, 9);
    expect(Math.abs(told - shown)).toBeLessThan(0.0051);
  });

  it('adds up also where a figure ends in the half of its last digit, which binary numbers only nearly hold', () => {
    const job = { typical: 2.01, parts: [{ driver: 'method', factor: 0.53, adds: -0.935 }], shown: 1.075 } as const;
    const { typical, rest, told } = printed(driversInWords('passes', job));
    expect(rest.reduce((sum, part) => sum + part, typical)).toBeCloseTo(told, 9);
  });

  it('names each circumstance with its amount', () => {
    expect(explained(job).passes.text).toMatch(/^A typical job: \d\.\d\d passes; .*\+\d\.\d\d for soil.* This one: /);
  });
});

/** The numbers of such a sentence: the typical figure, what moves it, and this one's. */
function printed(text: string) {
  const [typical, ...rest] = [...text.matchAll(/([+−]?)(\d+\.\d+)/g)].map(([, sign, digits]) =>
    sign === '−' ? -Number(digits) : Number(digits),
  );
  const told = rest.pop() ?? Number.NaN;
  return { typical, rest, told };
}
