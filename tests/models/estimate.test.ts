import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { minorDigits } from '../../src/domain/money.ts';
import { shopSettings } from '../../src/domain/shop-settings.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { type Estimate, type EstimateContext, estimateJob, quoteJob } from '../../src/models/estimate.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { context, fitOf, machines, now, seats, technicians } from './shop-under-test.ts';

const shop = simulateShop('lumps', 11, 160);
const lists = { technicians: shop.technicians, machines: shop.machines };
const shopNow = new Date('2026-01-05T00:00:00Z');
const fit = fitOf(shop.records, { ...lists, now: shopNow });
const byRules = fitOf([]);
const ours: EstimateContext = { ...context, ...lists, now: shopNow };
const job = seats({}, { technician: 'tech-1', extractor: 'standard-1' });
const nDraws = 4000;

const shareFields = ['passes', 'labourHours', 'waterLPerM2', 'dryHours'] as const;
const sharesOf = (estimate: Estimate) => shareFields.map((field) => estimate[field].evidenceShare);

describe('identity: the quote alone', () => {
  it('is that of the whole estimate, to the last digit, whoever does it and however it is cleaned', () => {
    for (const plan of [job, seats({}, {}), seats({ method: 'spot', soil: 'heavy' }, { extractor: 'standard-1' })])
      for (const draws of [500, 4000]) {
        const { quote, labourHours } = estimateJob(fit, plan, { ...ours, nDraws: draws });
        const alone = quoteJob(fit, plan, { ...ours, nDraws: draws });
        expect(alone).toEqual({ ...quote, evidenceShare: labourHours.evidenceShare });
      }
  });
});

describe('how much of an estimate is the shop’s own', () => {
  // In one shop chance may take a step back: the spreads are learnt too, and with them how much is open.
  it('is more with every doubling of the records, for each figure, over four shops, and never all of it', () => {
    const shops = [11, 12].flatMap((seed) => [simulateShop('lumps', seed, 160), simulateShop('strips', seed, 160)]);
    const shares = [10, 20, 40, 80, 160].map((n) =>
      shops.map(({ records, ...lists }) => {
        const some = fitOf(records.slice(-n), { ...lists, now: shopNow });
        return sharesOf(estimateJob(some, job, { ...context, ...lists, now: shopNow }));
      }),
    );
    const means = shares.map((ofShops) =>
      shareFields.map((_, figure) => ofShops.reduce((sum, of) => sum + of[figure], 0) / shops.length),
    );
    for (let figure = 0; figure < shareFields.length; figure++) {
      expect(means[0][figure]).toBeGreaterThan(0);
      for (let i = 1; i < means.length; i++) expect(means[i][figure]).toBeGreaterThan(means[i - 1][figure]);
      for (const of of shares[shares.length - 1]) expect(of[figure]).toBeLessThan(1);
    }
  });

  it('is none for what no record tells of: without litres and checks water and drying stay rule of thumb', () => {
    const unmeasured = shop.records.map((record) => ({
      ...record,
      sprayedLitres: undefined,
      recoveredLitres: undefined,
      drying: undefined,
      sections: record.sections.map((section) => ({
        ...section,
        sprayedLitres: undefined,
        recoveredLitres: undefined,
      })),
    }));
    const [passes, hours, water, dry] = sharesOf(estimateJob(fitOf(unmeasured, { ...lists, now: shopNow }), job, ours));
    expect([water, dry]).toEqual([0, 0]);
    expect(passes).toBeGreaterThan(0.3);
    expect(hours).toBeGreaterThan(0.3);
  });

  it('is less for a fabric that the shop has hardly cleaned', () => {
    const some = shop.records.filter(({ sections }) => sections.every(({ fabric }) => fabric !== 'suede-like'));
    const without = fitOf(some, { ...lists, now: shopNow });
    const shareOf = (fabric: 'flat-woven' | 'suede-like') =>
      estimateJob(without, seats({ fabric }, { extractor: 'standard-1' }), ours).passes.evidenceShare;
    expect(shareOf('suede-like')).toBeLessThan(shareOf('flat-woven'));
  });

  it('is less of drying in air that the shop has never had', () => {
    const fit = fitOf(shop.records, { ...lists, now: shopNow });
    const ofDrying = (airC: number, rhPercent: number) => {
      const planned = seats({}, { extractor: 'standard-1', drying: { aid: 'open-doors', airC, rhPercent } });
      return estimateJob(fit, planned, ours).dryHours.evidenceShare;
    };
    expect(ofDrying(60, 1)).toBeLessThan(ofDrying(20, 50) - 0.05);
  });
});

describe('the quote of an estimate', () => {
  it('adds up to the smallest coin, whatever the rates and the currency', () => {
    const money = fc.double({ min: 0, max: 5000, noNaN: true });
    const currencies = fc.constantFrom('EUR', 'USD', 'JPY', 'KWD');
    fc.assert(
      fc.property(
        money,
        money,
        currencies,
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (labourRate, materials, currency, risk) => {
          const settings = shopSettings.parse({ labourRate, materials, currency, overrunRisk: risk });
          const { quote } = estimateJob(byRules, seats(), { ...context, settings, nDraws: 300 });
          const coins = 10 ** minorDigits(currency);
          const inCoins = (amount: number) => Math.round(amount * coins);
          for (const amount of [quote.labourPrice, quote.materials, quote.price])
            expect(amount).toBe(inCoins(amount) / coins);
          expect(inCoins(quote.price)).toBe(inCoins(quote.labourPrice) + inCoins(quote.materials));
          expect(Math.abs(quote.labourPrice - quote.hours * labourRate)).toBeLessThanOrEqual(
            0.5 / coins + 1e-9 * quote.labourPrice,
          );
          expect(quote.hours).toBe(Math.round(100 * quote.hours) / 100);
        },
      ),
      { numRuns: 60, seed: 1 },
    );
  });

  it.each([0.05, 0.2, 0.5, 0.8])('runs over in a share of %d of such jobs', (overrunRisk) => {
    const settings = shopSettings.parse({ overrunRisk });
    const { quote } = estimateJob(fit, job, { ...ours, settings, nDraws });
    const { labourHours } = simulateJob(fit, plannedWork(fit, job, ours), nDraws);
    const over = labourHours.filter((hours) => hours > quote.hours).length / nDraws;
    // The hours are quoted to 0.01, some 0.5 % of the draws.
    expect(Math.abs(over - overrunRisk)).toBeLessThan(0.01);
  });

  it('takes the plan’s own rate and materials before the shop’s', () => {
    const { quote } = estimateJob(byRules, seats({}, { labourRate: 55, materials: 0 }), context);
    expect(quote).toMatchObject({ labourRate: 55, materials: 0, risk: 0.2, currency: 'EUR' });
    expect(quote.price).toBe(quote.labourPrice);
  });
});

describe('the time a vehicle is ready', () => {
  const london: EstimateContext = { ...context, timeZone: 'Europe/London' };
  const hoursAfter = (startAt: string, text: string) => (Date.parse(text) - Date.parse(startAt)) / 3_600_000;
  /** Half a minute of rounding on either side, and five digits of the quantile. */
  const tolerance = 1.1 / 60;

  // Clocks in London go back on 25 October 2026 at 02:00 and forward on 29 March 2026 at 01:00 (the last Sundays).
  it.each([
    ['back', '2026-10-24T22:00:00+01:00', '2026-10-25T01:00:00Z', '+01:00', '+00:00'],
    ['forward', '2026-03-28T22:00:00+00:00', '2026-03-29T01:00:00Z', '+00:00', '+01:00'],
  ])('is right over the night in which the clocks go %s', (_, startAt, changeAt, before, after) => {
    const plan = seats({}, { startAt });
    const { readyBy, labourHours } = estimateJob(byRules, plan, london);
    const { labourHours: worked, dryHours } = simulateJob(byRules, plannedWork(byRules, plan, london), nDraws);
    const total = worked.map((hours, d) => hours + dryHours[d]).sort();
    const workEnds = readyBy?.workEnds ?? '';
    expect(workEnds.slice(-6)).toBe(Date.parse(workEnds) < Date.parse(changeAt) ? before : after);
    expect(Math.abs(hoursAfter(startAt, workEnds) - labourHours.p50)).toBeLessThan(tolerance);
    for (const [name, p] of [
      ['p50', 0.5],
      ['p80', 0.8],
      ['p90', 0.9],
      ['p95', 0.95],
    ] as const) {
      const text = readyBy?.[name] ?? '';
      expect(text).toMatch(/^2026-\d\d-\d\dT\d\d:\d\d:00[+-]\d\d:00$/);
      expect(text.slice(-6)).toBe(after);
      // Between the order statistics beside it: no definition of a quantile assumed.
      const at = p * (nDraws - 1);
      expect(hoursAfter(startAt, text)).toBeGreaterThan(total[Math.floor(at)] - tolerance);
      expect(hoursAfter(startAt, text)).toBeLessThan(total[Math.ceil(at)] + tolerance);
    }
  });

  it('shows what a clock in the shop’s town shows', () => {
    const startAt = '2026-07-01T08:00:00Z';
    const readyIn = (timeZone: string) =>
      estimateJob(byRules, seats({}, { startAt }), { ...context, timeZone }).readyBy?.p90 ?? '';
    expect(readyIn('Asia/Kolkata')).toMatch(/\+05:30$/);
    expect(Date.parse(readyIn('Asia/Kolkata'))).toBe(Date.parse(readyIn('Europe/London')));
  });

  it('comes sooner with two people, who share the hours and get in each other’s way a little', () => {
    const startAt = '2026-07-01T08:00:00Z';
    const [alone, pair] = [1, 2].map((crew) => estimateJob(byRules, seats({}, { startAt, crew }), context));
    expect(pair.labourHours.p50).toBeGreaterThan(alone.labourHours.p50);
    const worked = hoursAfter(startAt, pair.readyBy?.workEnds ?? '');
    expect(Math.abs(worked - pair.labourHours.p50 / 2)).toBeLessThan(tolerance);
    expect(Date.parse(pair.readyBy?.p50 ?? '')).toBeLessThan(Date.parse(alone.readyBy?.p50 ?? ''));
  });

  it('is joint: work and drying are seldom both late', () => {
    const startAt = '2026-07-01T08:00:00Z';
    const { readyBy, labourHours, dryHours } = estimateJob(byRules, seats({}, { startAt }), context);
    const late = hoursAfter(startAt, readyBy?.p95 ?? '');
    expect(late).toBeLessThan(labourHours.p95 + dryHours.p95);
    expect(late).toBeGreaterThan(labourHours.p50 + dryHours.p50);
  });

  it('is not told where no start is planned', () => {
    expect(estimateJob(byRules, seats(), context).readyBy).toBeNull();
  });
});

describe('the same question', () => {
  it('has the same answer to the last digit, from the same fit and from the same records fitted again', () => {
    const first = estimateJob(fit, job, ours);
    expect(estimateJob(fit, job, ours)).toEqual(first);
    expect(estimateJob(fitOf(shop.records, { ...lists, now: shopNow }), job, ours)).toEqual(first);
  });

  it('has the same answer at any time of a day', () => {
    const late = { ...ours, now: new Date('2026-01-05T23:59:00Z') };
    expect(estimateJob(fit, job, late)).toEqual(estimateJob(fit, job, ours));
  });

  it('is not changed by another question asked between', () => {
    const first = estimateJob(byRules, seats(), context);
    estimateJob(fit, seats({ soil: 'severe', method: 'spot' }), { ...ours, nDraws: 700 });
    expect(estimateJob(byRules, seats(), context)).toEqual(first);
  });
});

describe('a plan with somebody or something the fit has not met', () => {
  const strangers = { technicians: [...technicians, { key: 'eve', name: 'eve' }], machines };

  it.each([
    ['technician', seats({}, { technician: 'eve' })],
    ['technician of one section', seats({ technician: 'eve' })],
    ['extractor', seats({}, { extractor: 'drum' })],
  ])('is estimated with a new %s', (_, plan) => {
    const { labourHours, dryHours } = estimateJob(fit, plan, { ...ours, ...strangers, now });
    for (const figure of [labourHours, dryHours]) expect(figure.p90).toBeGreaterThan(figure.p10);
  });

  it('knows less of a new technician than of one with many jobs', () => {
    const shares = ['tech-1', 'eve'].map(
      (technician) =>
        estimateJob(fit, seats({}, { technician, extractor: 'standard-1' }), ours).waterLPerM2.evidenceShare,
    );
    expect(shares[1]).toBeLessThan(shares[0]);
  });

  it('takes a new extractor for one of its grade', () => {
    const drum = { key: 'drum', name: 'drum', kind: 'extractor', grade: 'high' } as const;
    const passesWith = (list: EstimateContext['machines']) =>
      estimateJob(fit, seats({}, { extractor: 'drum' }), { ...ours, machines: list }).sections[0].meanPassesNeeded;
    expect(passesWith([...shop.machines, drum])).toBeLessThan(0.95 * passesWith(shop.machines));
  });
});
