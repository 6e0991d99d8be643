import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { computeFit } from '../../jobs/compute-fit.ts';
import { runShop } from '../../jobs/run-shop.ts';
import { buildApp } from '../../src/http/app.ts';
import { createEstimateMaker } from '../../src/http/estimate-maker.ts';
import { plannedExample } from '../../src/http/estimate-schemas.ts';
import { createFitCache } from '../../src/http/fit-cache.ts';
import type { Estimate } from '../../src/models/estimate.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type AppUnderTest, now, read, startApp } from './app-under-test.ts';

let app: AppUnderTest;
let key: string;
let fitted: string;

const machines = (['entry', 'standard', 'high'] as const).map((grade) => ({
  key: grade,
  name: `${grade} (invented)`,
  kind: 'extractor',
  grade,
}));

beforeAll(async () => {
  app = await startApp({
    runFit: (shopId, fitId) =>
      runShop({ db: app.db, now: () => new Date(), compute: async (material) => computeFit(material) }, shopId, fitId),
  });
  key = (await app.openShop()).keys.owner;
  await app.call('PUT', '/v1/machines', { key, json: machines });
  fitted = (await app.openShop()).keys.owner;
  await app.call('PUT', '/v1/machines', { key: fitted, json: machines });
  await app.call('PUT', '/v1/technicians', { key: fitted, json: [{ key: 'mira', name: 'Mira (invented)' }] });
  for (let i = 0; i < 12; i++) await app.call('POST', '/v1/records', { key: fitted, json: quickJob(i) });
  expect((await app.call('POST', '/v1/fits', { key: fitted })).status).toBe(201);
});
afterAll(() => app.close());

/** An invented shop that is twice as quick as the rules say. */
const quickJob = (i: number) => ({
  ref: `q${i}`,
  finishedAt: `2025-02-${10 + i}T15:00:00Z`,
  bodyStyle: 'sedan',
  seatsRemoved: true,
  labour: [{ technician: 'mira', minutes: 96 + i }],
  extractor: 'standard',
  sections: seats({}).map((section) => ({ ...section, wetPasses: 2 })),
});

const seats = (change: object) =>
  (['front-seat', 'rear-bench'] as const).map((area) => ({
    area,
    count: area === 'front-seat' ? 2 : 1,
    fabric: 'flat-woven',
    soil: 'moderate',
    method: 'extraction',
    ...change,
  }));

const air = { aid: 'open-doors', airC: 20, rhPercent: 50 };
const plan = (change: object = {}) => ({
  bodyStyle: 'sedan',
  seatsRemoved: true,
  extractor: 'standard',
  sections: seats({}),
  drying: air,
  ...change,
});

interface Made extends Estimate {
  readonly id: string;
  readonly madeAt: string;
  readonly fitId: string | null;
}

async function estimate(change: object = {}, as = key): Promise<Made> {
  const response = await app.call('POST', '/v1/estimates', { key: as, json: plan(change) });
  expect(response.status).toBe(201);
  return read<Made>(response);
}

const chance = (made: Made, passes: number) =>
  made.sections[0].passesNeeded.find((one) => one.passes === passes)?.chance ?? 0;

// Common practice, no source: what the trade would say before a shop's first record.
describe('contract: an estimate with no records is the rule of thumb', () => {
  it('gives seats of typical soil and an ordinary extractor two passes', async () => {
    const made = await estimate();
    expect(made.basis).toBe('rules of thumb');
    expect(made.fitId).toBeNull();
    const chances = made.sections[0].passesNeeded.map((one) => one.chance);
    expect(Math.max(...chances)).toBe(chance(made, 2));
    expect(made.sections[0].meanPassesNeeded).toBeGreaterThan(1.9);
    expect(made.sections[0].meanPassesNeeded).toBeLessThan(2.4);
  });

  it.each([
    ['a high-grade extractor', { extractor: 'high' }],
    ['spot cleaning', { sections: seats({ method: 'spot' }) }],
  ])('gives %s one pass, or nearly', async (_, change) => {
    const made = await estimate(change);
    const largest = Math.max(...made.sections[0].passesNeeded.map((one) => one.chance));
    expect(chance(made, 1)).toBeGreaterThan(largest - 0.05);
  });

  it('gives a sedan’s cloth seats, taken out and extracted, three to four hours', async () => {
    const { labourHours } = await estimate();
    expect(labourHours.p10).toBeGreaterThan(2.8);
    expect(labourHours.p10).toBeLessThan(3.2);
    expect(labourHours.p90).toBeGreaterThan(3.8);
    expect(labourHours.p90).toBeLessThan(4.4);
    expect(labourHours.evidenceShare).toBe(0);
  });

  it('leaves clearly less water with spot cleaning, and dries sooner', async () => {
    const [extracted, spot] = [await estimate(), await estimate({ sections: seats({ method: 'spot' }) })];
    expect(spot.waterLPerM2.p50).toBeLessThan(0.6 * extracted.waterLPerM2.p50);
    expect(spot.dryHours.p50).toBeLessThan(0.6 * extracted.dryHours.p50);
  });

  it.each([
    ['a fan', { drying: { ...air, aid: 'fan' } }],
    ['warmer air', { drying: { ...air, airC: 28 } }],
    ['drier air', { drying: { ...air, rhPercent: 35 } }],
    ['more water got back', { sections: seats({ dryPasses: 5 }) }],
  ])('dries sooner with %s alone', async (_, change) => {
    const [plain, better] = [await estimate(), await estimate(change)];
    expect(better.dryHours.p50).toBeLessThan(0.97 * plain.dryHours.p50);
  });

  it('asks more passes and hours for heavier soil, and more hours for more surface', async () => {
    const soils = ['light', 'moderate', 'heavy', 'severe'];
    const made = await Promise.all(soils.map((soil) => estimate({ sections: seats({ soil }) })));
    const ascending = (values: number[]) => values.every((value, i) => i === 0 || value > values[i - 1]);
    expect(ascending(made.map(({ sections }) => sections[0].meanPassesNeeded))).toBe(true);
    expect(ascending(made.map(({ labourHours }) => labourHours.p50))).toBe(true);
    const larger = await estimate({ sections: seats({ surfaceM2: 3 }) });
    expect(larger.labourHours.p50).toBeGreaterThan(1.1 * made[1].labourHours.p50);
  });
});

describe('contract: POST /v1/estimates', () => {
  it('is the same to the last digit for the same request, and is read back word for word', async () => {
    const { id: first, madeAt: _a, ...one } = await estimate();
    const { id: second, madeAt: _b, ...two } = await estimate();
    expect(second).not.toBe(first);
    expect(two).toEqual(one);
    const made = await app.call('POST', '/v1/estimates', { key, json: plan() });
    const text = await made.text();
    expect(await (await app.call('GET', made.headers.get('location') ?? '', { key })).text()).toBe(text);
  });

  it('is the same on another day, half a year on, while the fit is the same', async () => {
    const later = buildApp({ ...app.deps, now: () => new Date(now.getTime() + 182 * 86_400_000) });
    for (const as of [key, fitted]) {
      const { id: _a, madeAt: made, ...one } = await estimate({}, as);
      const response = await later.request('/v1/estimates', {
        method: 'POST',
        headers: { Authorization: `Bearer ${as}`, 'Content-Type': 'application/json' },
        body: JSON.stringify(plan()),
      });
      const { id: _b, madeAt: madeLater, ...two } = await read<Made>(response);
      expect([made, madeLater]).toEqual(['2025-03-05T10:00:00.000Z', '2025-09-03T10:00:00.000Z']);
      expect(two).toEqual(one);
    }
  });

  it('keeps the request as it came, and is the shop’s own', async () => {
    const shop = await app.openShop();
    const body = `{ "bodyStyle":"sedan",\n "sections": ${JSON.stringify(seats({}))} }`;
    const headers = { 'Content-Type': 'application/json' };
    const made = await app.call('POST', '/v1/estimates', { key: shop.keys.desk, body, headers });
    const address = made.headers.get('location') ?? '';
    expect((await app.call('GET', address, { key: shop.keys.desk })).status).toBe(200);
    expect((await app.call('GET', address, { key })).status).toBe(404);
    expect((await app.call('POST', '/v1/estimates', { key: shop.keys.technician, body, headers })).status).toBe(403);
    const stored = await inShop(app.db, shop.shopId, (tx) => tx.sql`select request::text as text from estimate`);
    expect(stored.map(({ text }) => text)).toEqual([body]);
  });

  it('moves to the shop’s own numbers, and says how far', async () => {
    const own = await estimate({}, fitted);
    const rule = await estimate();
    expect(own.basis).toBe('rules of thumb and own records');
    expect(own.jobsLearntFrom).toBe(12);
    expect(own.fitId).not.toBeNull();
    expect(own.labourHours.p50).toBeLessThan(0.75 * rule.labourHours.p50);
    expect(own.labourHours.evidenceShare).toBeGreaterThan(0.3);
    expect(own.dryHours.evidenceShare).toBe(0);
  });

  it('says when it is ready by the shop’s clock, and what to quote', async () => {
    const { readyBy, quote, labourHours } = await estimate({
      startAt: '2025-07-01T08:00:00Z',
      labourRate: 50,
      materials: 12.5,
    });
    expect(readyBy?.p90).toMatch(/^2025-07-0\dT\d\d:\d\d:00[+-]\d\d:\d\d$/);
    expect(Date.parse(readyBy?.p90 ?? '')).toBeGreaterThan(Date.parse(readyBy?.p50 ?? ''));
    expect(quote.hours).toBeCloseTo(labourHours.p80, 1);
    expect(Math.round(100 * quote.labourPrice)).toBe(Math.round(5000 * quote.hours));
    expect(quote.price).toBe(quote.labourPrice + 12.5);
  });

  it('names every fault of a plan at once', async () => {
    const json = plan({
      bodyStyle: 'sedn',
      technician: 'nobody',
      extractor: 'none',
      sprayedLiters: 3,
      sections: seats({ soil: 'medium' }),
    });
    const response = await app.call('POST', '/v1/estimates', { key, json });
    expect(response.status).toBe(422);
    const { errors } = await read<{ errors: { pointer: string; message: string }[] }>(response);
    expect(errors.map(({ pointer }) => pointer).sort()).toEqual([
      '/bodyStyle',
      '/extractor',
      '/sections/0/soil',
      '/sections/1/soil',
      '/sprayedLiters',
      '/technician',
    ]);
    for (const { message } of errors) expect(message.length).toBeGreaterThan(10);
  });

  it('is not given where it could not be stored', async () => {
    const { shopId } = await app.openShop();
    const basisOf = createFitCache();
    const noSuchFit: typeof basisOf = async (tx) => ({ ...(await basisOf(tx)), fitId: randomUUID() });
    const kept = () => inShop(app.db, shopId, async ({ sql }) => (await sql`select from estimate`).length);
    const make = (basis: typeof basisOf) =>
      createEstimateMaker({ db: app.db, now: () => now }, basis).make(
        shopId,
        { ...plannedExample, extractor: null },
        '{}',
      );
    await expect(make(noSuchFit)).rejects.toThrow(/foreign key/);
    expect(await kept()).toBe(0);
    expect(await make(basisOf)).toMatchObject({ ok: true });
    expect(await kept()).toBe(1);
  });

  it('adds up what moved each figure from the typical job', async () => {
    const { drivers } = await estimate(
      { sections: seats({ soil: 'severe', stains: ['oil'] }), seatsRemoved: false },
      fitted,
    );
    for (const { typical, parts, shown } of Object.values(drivers))
      expect(parts.reduce((sum, { adds }) => sum + adds, typical)).toBeCloseTo(shown, 9);
    expect(drivers.passes.parts[0].driver).toBe('soil');
  });
});
