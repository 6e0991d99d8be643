import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { computeFit } from '../../jobs/compute-fit.ts';
import { runShop } from '../../jobs/run-shop.ts';
import { demoShop } from '../../seed/shop.ts';
import { createFitCache } from '../../src/http/fit-cache.ts';
import { createReportSource } from '../../src/http/report-basis.ts';
import type { TrackRecord } from '../../src/insight/track-record.ts';
import type { AlternativeAnswer } from '../../src/models/alternatives.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { setShopProfile } from '../../src/store/shops.ts';
import { type AppUnderTest, read, type ShopUnderTest, startApp } from './app-under-test.ts';

const demo = demoShop(3, '2025-02-20');
const lines = demo.records
  .slice(-260)
  .map((record) => JSON.stringify(record))
  .join('\n');

let app: AppUnderTest;
let shop: ShopUnderTest;
let empty: ShopUnderTest;

beforeAll(async () => {
  app = await startApp({
    fitPatienceMs: 90_000, // a busy machine takes its time over the first scores
    runFit: (shopId, fitId) =>
      runShop({ db: app.db, now: () => new Date(), compute: async (material) => computeFit(material) }, shopId, fitId),
  });
  empty = await app.openShop();
  shop = await app.openShop();
  const key = shop.keys.owner;
  await app.call('PUT', '/v1/technicians', { key, json: demo.technicians });
  await app.call('PUT', '/v1/machines', { key, json: demo.machines });
  const sent = await app.call('POST', '/v1/records', {
    key,
    body: lines,
    headers: { 'Content-Type': 'application/x-ndjson' },
  });
  expect(sent.status).toBe(200);
  expect((await app.call('POST', '/v1/fits', { key })).status).toBe(201);
}, 120_000);
afterAll(() => app.close());

const get = async <T>(path: string, key = shop.keys.owner) => {
  const response = await app.call('GET', `/v1${path}`, { key });
  expect(response.status).toBe(200);
  return read<T>(response);
};

interface Answered {
  readonly answer: string;
}

describe('contract: the owner’s reports', () => {
  it('answer in words with figures behind, and as a table', async () => {
    for (const path of [
      '/reports/wetness',
      '/reports/machines',
      '/reports/quotes',
      '/reports/price-list',
      '/reports/track-record',
      '/reports/comebacks',
      '/reports/what-to-record',
    ]) {
      expect((await get<Answered>(path)).answer.length, path).toBeGreaterThan(20);
      const csv = await app.call('GET', `/v1${path}`, { key: shop.keys.owner, headers: { Accept: 'text/csv' } });
      // The parser throws where a row has another number of cells than the header.
      expect(parse(await csv.text()).length, path).toBeGreaterThan(1);
    }
  });

  it('answer what an upgrade saves as a table too', async () => {
    const ask = { json: { price: 2400, grade: 'high' }, key: shop.keys.owner };
    const report = await read<{ replaces: string; savingPerMonth: { p50: number } }>(
      await app.call('POST', '/v1/reports/machines/upgrade', ask),
    );
    const csv = await app.call('POST', '/v1/reports/machines/upgrade', { ...ask, headers: { Accept: 'text/csv' } });
    expect(csv.headers.get('content-type')).toContain('text/csv');
    expect(parse(await csv.text(), { columns: true })).toMatchObject([
      { grade: 'high', replaces: report.replaces, saving_per_month_p50: String(report.savingPerMonth.p50) },
    ]);
  });

  it('have something to say to a shop without a record', async () => {
    for (const path of ['wetness', 'machines', 'quotes', 'track-record', 'what-to-record'].map(
      (of) => `/reports/${of}`,
    ))
      expect((await get<Answered>(path, empty.keys.owner)).answer, path).toMatch(/\./);
    const response = await app.call('POST', '/v1/reports/machines/upgrade', {
      key: empty.keys.owner,
      json: { price: 100, grade: 'high' },
    });
    expect(response.status).toBe(404);
  });

  it('are for the desk and the owner', async () => {
    const statuses = (path: string) =>
      Promise.all(
        [shop.keys.technician, shop.keys.desk].map(
          async (key) => (await app.call('GET', `/v1${path}`, { key })).status,
        ),
      );
    for (const of of ['wetness', 'machines', 'what-to-record', 'quotes', 'track-record', 'comebacks', 'price-list'])
      expect(await statuses(`/reports/${of}`), of).toEqual([403, 200]);
    const ask = { json: { price: 2400, grade: 'high' }, key: shop.keys.desk };
    expect((await app.call('POST', '/v1/reports/machines/upgrade', ask)).status).toBe(200);
  });

  it('add up: the replayed quotes’ minutes and money are the sums of their parts', async () => {
    const { replay } = await get<{
      replay: Record<
        'asQuoted' | 'asEstimated',
        { quotedMinutes: number; takenMinutes: number; gapMinutes: number; money: number }
      > & { difference: number };
    }>('/reports/quotes');
    for (const sums of [replay.asQuoted, replay.asEstimated])
      expect(sums.gapMinutes).toBe(sums.quotedMinutes - sums.takenMinutes);
    expect(replay.asQuoted.takenMinutes).toBe(replay.asEstimated.takenMinutes);
    expect(replay.difference).toBeCloseTo(replay.asEstimated.money - replay.asQuoted.money, 6);
  });

  it('tell how the forecasts did on jobs they had not seen, outcome by outcome', async () => {
    const { models, months, answer } = await get<TrackRecord>('/reports/track-record');
    expect(models.map(({ model }) => model)).toEqual(['passes', 'labour', 'water', 'drying']);
    const labour = models[1];
    expect(labour.outcomes).toBe(months.reduce((sum, { jobs }) => sum + jobs, 0));
    expect(labour.gainPercent?.p05).toBeGreaterThan(0);
    expect(labour.meanScore).toBeLessThan(labour.soilMeans ?? 0);
    expect(answer).toMatch(/Hours: \d+ of \d+ inside the 80 % range/);
  });

  it('tell of the published fit that hours creep', async () => {
    const crept = { term: 'crept 2025-01', sd: 0.02, p05: -0.13, p50: -0.1, p95: -0.07, rule: { mean: 0, sd: 0.05 } };
    await inShop(
      app.db,
      shop.shopId,
      (tx) => tx.sql`
        update fit set summary = jsonb_set(summary, '{models,labour,terms}', ${JSON.stringify([crept])}::text::jsonb)
        where shop_id = ${tx.shopId} and status = 'published'`,
    );
    const { creeping, answer } = await get<TrackRecord>('/reports/track-record');
    expect(creeping.filter(({ model }) => model === 'labour')).toMatchObject([{ since: '2025-01' }]);
    expect(answer).toContain(
      'Hours: the level creeps, and forecasts follow: jobs before 2025-01 count as 10 % quicker',
    );
  });

  it('are made anew after a record, but for the price list, which hangs on the fit, the lists and the settings alone', async () => {
    const source = createReportSource(createFitCache());
    const states = () =>
      inShop(app.db, shop.shopId, async (tx) => [(await source.basis(tx)).state, (await source.learnt(tx)).state]);
    const before = await states();
    expect(await states()).toEqual(before);
    const json = { ...demo.records[0], ref: 'one more' };
    expect((await app.call('POST', '/v1/records', { key: shop.keys.owner, json })).status).toBe(201);
    const afterRecord = await states();
    expect(afterRecord[0]).not.toBe(before[0]);
    expect(afterRecord[1]).toBe(before[1]);
    const settings = await get<object>('/settings');
    await app.call('PUT', '/v1/settings', { key: shop.keys.owner, json: { ...settings, overrunRisk: 0.123 } });
    expect((await states())[1]).not.toBe(before[1]);
    await app.call('PUT', '/v1/settings', { key: shop.keys.owner, json: settings });
  });

  it('count what is there by the shop’s own day', async () => {
    const baseline = async () => (await get<{ baseline: string }>('/reports/machines')).baseline;
    const most = await baseline();
    const sold = demo.machines.map((one) => (one.key === most ? { ...one, until: '2025-03-05' } : one));
    await app.call('PUT', '/v1/machines', { key: shop.keys.owner, json: sold });
    const clock = (timeZone: string) =>
      inShop(app.db, shop.shopId, (tx) => setShopProfile(tx, { name: 'Moved (invented)', timeZone }));
    expect(await baseline()).toBe(most); // 10:00 of 5 March UTC
    await clock('Pacific/Kiritimati'); // 14 hours ahead: the 6th
    expect(await baseline()).not.toBe(most);
    await clock('Europe/London');
    await app.call('PUT', '/v1/machines', { key: shop.keys.owner, json: demo.machines });
  });

  it('quote more hours at a smaller risk', async () => {
    type Prices = { prices: { hours: number }[] };
    const [safe, bold] = [
      await get<Prices>('/reports/price-list?risk=0.05'),
      await get<Prices>('/reports/price-list?risk=0.5'),
    ];
    expect(safe.prices.every(({ hours }, i) => hours > bold.prices[i].hours)).toBe(true);
  });

  it('name what is wrong with what they are asked', async () => {
    const allowed = demo.machines.map(({ key }) => key).sort();
    const unknown = (field: string) => ({
      status: 404,
      errors: [
        {
          pointer: `/${field}`,
          value: 'nothing',
          message: expect.stringContaining(`one of ${allowed.join(', ')}`),
          allowed,
        },
      ],
    });
    const baseline = await app.call('GET', '/v1/reports/machines?baseline=nothing', { key: shop.keys.owner });
    expect(await baseline.json()).toMatchObject(unknown('baseline'));
    const replaces = await app.call('POST', '/v1/reports/machines/upgrade', {
      key: shop.keys.owner,
      json: { price: 5, grade: 'high', replaces: 'nothing' },
    });
    expect(await replaces.json()).toMatchObject(unknown('replaces'));
    const risky = await app.call('GET', '/v1/reports/quotes?risk=2', { key: shop.keys.owner });
    expect(await risky.json()).toMatchObject({ status: 422, detail: 'risk is "2": a number above 0 and below 1' });
    const misspelt = await app.call('GET', '/v1/reports/quotes?rsk=0.1', { key: shop.keys.owner });
    expect(await misspelt.json()).toMatchObject({ status: 422, detail: 'rsk: not a field here; did you mean risk?' });
    const bad = await app.call('POST', '/v1/reports/machines/upgrade', {
      key: shop.keys.owner,
      json: { price: -5, grad: 'high' },
    });
    expect(bad.status).toBe(422);
    expect(await bad.text()).toContain('did you mean grade?');
  });

  it('ask for the grade of an upgrade, or for suction or airflow to take it from', async () => {
    const upgrade = (json: object) =>
      app.call('POST', '/v1/reports/machines/upgrade', { key: shop.keys.owner, json: { price: 3000, ...json } });
    const bare = await upgrade({});
    expect(await bare.json()).toMatchObject({
      status: 422,
      detail: 'grade is missing: one of entry, standard, high, or else waterLiftKpa or airflowM3h',
      errors: [{ pointer: '/grade', allowed: ['entry', 'standard', 'high'] }],
    });
    for (const told of [{ waterLiftKpa: 40 }, { airflowM3h: 300 }, { grade: 'high' }])
      expect((await upgrade(told)).status, JSON.stringify(told)).toBe(200);
    expect(await (await upgrade({ airflowM3h: 300 })).json()).toMatchObject({ gradeFrom: 'suction and airflow' });
  });

  it('follow an estimate made here to the finished job', async () => {
    const key = shop.keys.owner;
    const { id } = await read<{ id: string }>(
      await app.call('POST', '/v1/estimates', { key, json: { ...plan, startAt: '2025-02-21T08:00:00Z' } }),
    );
    const record = { ...demo.records[0], ref: 'followed', quoted: { hours: 3, estimate: id } };
    expect((await app.call('POST', '/v1/records', { key, json: record })).status).toBe(201);
    const { followed } = await get<{ followed: { jobs: number } }>('/reports/quotes');
    expect(followed.jobs).toBe(1);
  });
});

const plan = {
  bodyStyle: 'sedan',
  seatsRemoved: true,
  extractor: 'grey-barrel',
  sections: [
    { area: 'front-seat', count: 2, fabric: 'flat-woven', soil: 'heavy', method: 'extraction', brush: 'soft' },
  ],
  drying: { aid: 'still-air', airC: 20, rhPercent: 50 },
};

describe('contract: the same job another way', () => {
  const ask = async (alternatives: object[]) =>
    app.call('POST', '/v1/estimates', { key: shop.keys.owner, json: { ...plan, alternatives } });

  it('tells the difference to the plan, with its cautions, by common draws', async () => {
    const response = await ask([
      { label: 'as planned' },
      { label: 'with a fan', dryingAid: 'fan' },
      { label: 'by spot', sections: [{ section: 0, method: 'spot' }] },
      { label: 'seats left in, stiff brush', seatsRemoved: false, sections: [{ section: 0, brush: 'stiff' }] },
    ]);
    expect(response.status).toBe(201);
    const { alternatives, quote } = await read<{ alternatives: AlternativeAnswer[]; quote: { price: number } }>(
      response,
    );
    const [same, fan, spot, left] = alternatives;
    expect([same.labourHours.p05, same.labourHours.p95, same.priceDifference]).toEqual([0, 0, 0]);
    expect(same.price).toBe(quote.price);
    expect(fan.dryHours.p95).toBeLessThan(0);
    expect(fan.labourHours.p50).toBe(0);
    expect(spot.waterLPerM2.chanceLess).toBeGreaterThan(0.9);
    expect(left.labourHours.p95).toBeLessThan(0);
    expect(left.cautions.map(({ id }) => id)).toContain('brush');
  });

  it('names what an alternative has wrong', async () => {
    const response = await ask([{ label: 'x', extractor: 'nothing', sections: [{ section: 4, method: 'spot' }] }]);
    expect(response.status).toBe(422);
    const text = await response.text();
    expect(text).toContain('/alternatives/0/extractor');
    expect(text).toContain('/alternatives/0/sections/0/section');
  });
});
