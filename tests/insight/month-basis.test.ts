import { describe, expect, it } from 'vitest';
import { scoreShop } from '../../src/insight/scoring/score-shop.ts';
import { fitShop } from '../../src/models/fit.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const { technicians, machines, records } = simulateShop('lumps', 4, 60);
const shop = { technicians, machines, records: records.slice(0, 20), rules: {}, version: 1 };
const { months } = scoreShop(shop);
const basesOf = (now: typeof shop & { confirmed?: readonly string[]; today?: ShopFit }) =>
  scoreShop({ ...now, formerMonths: months }).months.map(({ basis }) => basis);
const before = basesOf(shop);
const last = months.at(-1)?.month ?? '';

describe('contract: what a month’s scores are made from', () => {
  it('stays the same where nothing changes that a forecast reads', () => {
    const later = { outcome: { comeback: 'odour' }, quoted: { hours: 3 }, note: 'rang' } as const;
    const renamed = { ...machines[0], name: 'Renamed (invented)', price: 900 };
    const now = {
      ...shop,
      records: shop.records.map((job, i) => (i === 0 ? { ...job, ...later } : job)),
      technicians: [...technicians, { key: 'new', name: 'New (invented)' }],
      machines: [renamed, ...machines.slice(1)],
    };
    expect(months.length).toBeGreaterThan(2);
    expect(basesOf(now)).toEqual(before);
  });

  it('is another from the month on in which somebody left, or of which a job was confirmed', () => {
    const left = { ...technicians[0], until: `${last}-01` };
    const confirmed = [shop.records.at(-1)?.ref ?? ''];
    for (const now of [{ technicians: [left, ...technicians.slice(1)] }, { confirmed }]) {
      const bases = basesOf({ ...shop, ...now });
      expect(bases.slice(0, -1)).toEqual(before.slice(0, -1));
      expect(bases.at(-1)).not.toBe(before.at(-1));
    }
  });

  it('is another of the month alone of which tonight’s fit does not believe a record', () => {
    const fitted = fitShop({ ...shop, now: new Date('2026-01-05') });
    if (fitted.status !== 'fitted') throw new Error('no fit');
    const { models } = fitted.fit;
    const leftOut = [{ ref: shop.records[0].ref, reason: 'not believed' }];
    const today = { ...fitted.fit, models: { ...models, water: { ...models.water, leftOut } } };
    const bases = basesOf({ ...shop, today });
    expect(bases.slice(1)).toEqual(before.slice(1));
    expect(bases[0]).not.toBe(before[0]);
  });

  it('is another where a machine that was used has another grade', () => {
    const regraded = machines.map((one) => ({ ...one, grade: one.grade === 'high' ? 'entry' : 'high' }) as const);
    expect(basesOf({ ...shop, machines: regraded }).at(-1)).not.toBe(before.at(-1));
  });
});
