import { describe, expect, it } from 'vitest';
import { finishedJob } from '../../src/domain/record.ts';
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import { workMix } from '../../src/insight/machines/mix.ts';
import { differenceOf, machinesReport } from '../../src/insight/machines/report.ts';
import { commonDraws } from '../../src/insight/machines/standardised.ts';
import { upgradeReport, upgradeRequest } from '../../src/insight/machines/upgrade.ts';
import { fitShop } from '../../src/models/fit.ts';
import { done, fitOf, machines as listed, technicians as people } from '../models/shop-under-test.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const now = new Date('2026-01-05');
const lists = { technicians: people, machines: listed };

/** An invented shop whose better machine gets the dirtier vehicles. */
function shopWhereBetterGetsHarder(seed: number) {
  const { technicians, machines, records: sent } = simulateShop('lumps', seed, 400, { harderToBetter: true });
  const records = sent.map((record) => finishedJob.parse(record));
  const result = fitShop({ records, technicians, machines, now });
  if (result.status !== 'fitted') throw new Error(result.failures.map(({ message }) => message).join());
  return { fit: result.fit, shop: { records, technicians, machines } };
}

const { fit, shop } = shopWhereBetterGetsHarder(2);
const keyOf = (grade: string) => shop.machines.find((machine) => machine.grade === grade)?.key ?? '';
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
const rawPasses = (key: string) =>
  mean(
    shop.records
      .filter(({ extractor }) => extractor === key)
      .flatMap(({ sections }) => sections.filter(({ method }) => method !== 'spot').map(({ wetPasses }) => wetPasses)),
  );

describe('contract: the mix of work', () => {
  it('has the surface that the fit reads where a record says none, however long ago the shop last wrote one', () => {
    const measured = { surfaceM2: 3.7 };
    const old = Array.from({ length: 30 }, (_, i) =>
      done(`O-${i}`, measured, { finishedAt: '2023-03-01T12:00:00Z', labour: [{ technician: 'ann', minutes: 300 }] }),
    );
    const young = Array.from({ length: 10 }, (_, i) => done(`Y-${i}`, {}, { finishedAt: '2025-11-01T12:00:00Z' }));
    const records = [...old, ...young];
    const ofShop = fitOf(records);
    const [{ sections }] = workMix(ofShop, { ...lists, records }, now);
    expect(sections[1].surfaceM2).toBeCloseTo(1.7 * ofShop.surfaceRatios['rear-bench'], 12);
    expect(ofShop.surfaceRatios['rear-bench']).toBeGreaterThan(2);
  });
});

describe('recovery: extractors compared on the same work', () => {
  it('draws the four models apart: a wide spread in one is none in another', () => {
    const { passes, labour, water, drying } = commonDraws(fit, 4000);
    const sigmas = [passes, labour, water, drying].map(({ sigma }) => [...sigma]);
    // Four standard errors of a correlation of 4,000 draws.
    for (const [i, one] of sigmas.entries())
      for (const other of sigmas.slice(i + 1)) expect(Math.abs(correlation(one, other))).toBeLessThan(0.063);
  });

  it('finds the better machine better although it makes more passes, for it gets the harder work', () => {
    const { machines } = machinesReport(fit, shop, now, keyOf('entry'));
    const better = machines.find(({ grade }) => grade === 'high');
    expect(rawPasses(keyOf('high'))).toBeGreaterThan(rawPasses(keyOf('entry')));
    expect(better?.againstBaseline?.passes.p50).toBeLessThan(0);
    expect(better?.againstBaseline?.waterPercent.p95).toBeLessThan(0);
  });

  it('is the other way round with the sides changed', () => {
    const one = machinesReport(fit, shop, now, keyOf('entry')).machines.find(({ grade }) => grade === 'high');
    const two = machinesReport(fit, shop, now, keyOf('high')).machines.find(({ grade }) => grade === 'entry');
    // But for what no record tells, 0.02 of two passes: three standard errors of a median of 200 draws.
    const both = (one?.againstBaseline?.passes.p50 ?? 0) + (two?.againstBaseline?.passes.p50 ?? 0);
    expect(Math.abs(both)).toBeLessThan((3 * 0.04 * 1.253) / Math.sqrt(200));
  });

  it('leaves some doubt of every figure however many records there are', () => {
    const sure = (value: number) => new Float64Array(200).fill(value);
    const work = { passes: sure(2), hours: sure(3), waterLPerM2: sure(0.3), dryHours: sure(8) };
    const { passes, hours, waterPercent, dryHours } = differenceOf(work, work, 1, 0);
    for (const { p05, p95 } of [passes, hours, waterPercent, dryHours]) expect(p95 - p05).toBeGreaterThan(0.1);
  });

  it('doubts the hours until dry by the power with which they go with the litres, the more the farther apart those are', () => {
    const sure = (value: number) => new Float64Array(2000).fill(value);
    const work = (water: number, dry: number) => ({
      passes: sure(2),
      hours: sure(3),
      waterLPerM2: sure(water),
      dryHours: sure(dry),
    });
    const { dryHours } = differenceOf(work(0.2, 5), work(0.4, 10), 1, 0);
    // ± 1.645 √(0.03² + (0.1 log 2)²) of the mean of both; tolerance: three standard errors of two quantiles of 2,000 draws.
    const width = 2 * 1.645 * Math.hypot(0.03, 0.1 * Math.log(2)) * 7.5;
    expect(Math.abs((dryHours.p95 - dryHours.p05) / width - 1)).toBeLessThan(0.1);
    expect(Math.abs(dryHours.p50 + 5)).toBeLessThan(0.06);
    const back = differenceOf(work(0.4, 10), work(0.2, 5), 1, 0).dryHours;
    expect(Math.abs((back.p95 - back.p05) / width - 1)).toBeLessThan(0.1);
  });

  it('has nothing to say where nothing was extracted', () => {
    expect(machinesReport(fit, { ...shop, records: [] }, now).machines).toEqual([]);
  });

  it('says of extracted jobs that name no extractor that they name none, not that there are none', () => {
    const records = shop.records.map((record) => ({ ...record, extractor: null }));
    const { answer } = machinesReport(fit, { ...shop, records }, now);
    expect(answer).toBe('No extracted job that names its extractor is recorded yet.');
  });
});

describe('contract: an upgrade not yet owned', () => {
  const ask = (change: object) =>
    upgradeRequest.parse({ price: 1500, grade: 'high', replaces: keyOf('entry'), jobsPerMonth: 40, ...change });
  const report = (change: object) => upgradeReport(fit, shop, now, ask(change), defaultShopSettings);

  it('saves money in proportion to the rate, and pays back sooner with more of it', () => {
    const [one, two] = [report({ labourRate: 30 }), report({ labourRate: 60 })];
    expect(two?.savingPerMonth.p50).toBeCloseTo(2 * (one?.savingPerMonth.p50 ?? 0), 0);
    expect(two?.payback.p50 ?? 99).toBeLessThan(one?.payback.p50 ?? 100);
  });

  it('saves a month what it saves a job as often, and in as much doubt', () => {
    const of = report({});
    const { p05, p50, p95 } = of?.perJob.hours ?? expect.fail('no report');
    const { hoursSavedPerMonth: month } = of ?? expect.fail('no report');
    // Both are told to five digits.
    for (const [saved, hours] of [
      [month.p05, p95],
      [month.p50, p50],
      [month.p95, p05],
    ])
      expect(Math.abs(saved / (-40 * hours) - 1)).toBeLessThan(1.1e-4);
  });

  it('never pays where nobody is paid, and at once where it is free', () => {
    expect(report({ labourRate: 0 })?.payback).toMatchObject({ p10: null, p50: null, p90: null, chanceNever: 1 });
    expect(report({ price: 0 })?.payback.p90).toBe(0);
    expect(report({ price: 0 })?.payback.chanceBy[0]).toEqual({ month: 0, chance: 1 });
  });

  it('is held against the extractor used most of those that are there, as is every other', () => {
    const uses = (key: string) => shop.records.filter(({ extractor }) => extractor === key).length;
    const [most, next] = [...shop.machines].sort((a, b) => uses(b.key) - uses(a.key));
    const sold = shop.machines.map((one) => (one === most ? { ...one, until: '2026-01-04' } : one));
    const replaced = (machines: typeof sold) =>
      upgradeReport(fit, { ...shop, machines }, now, ask({ replaces: undefined }), defaultShopSettings)?.replaces;
    expect([replaced(shop.machines.slice()), replaced(sold)]).toEqual([most.key, next.key]);
    expect(machinesReport(fit, { ...shop, machines: sold }, now).baseline).toBe(next.key);
  });

  it('does not pay by being worse', () => {
    expect(report({ grade: 'entry', replaces: keyOf('high') })?.payback.chanceNever).toBeGreaterThan(0.9);
  });

  it('tells lost hours by the minus of print, as the comparison does', () => {
    const { answer = '' } = report({ grade: 'entry', replaces: keyOf('high') }) ?? {};
    expect(answer).toContain('it frees about −');
    expect(answer).not.toMatch(/-\d/);
  });

  it('takes the pace of the last year, whatever year one record was given by mistake', () => {
    const paceOf = (records: typeof shop.records) =>
      upgradeReport(fit, { ...shop, records }, now, ask({ jobsPerMonth: undefined }), defaultShopSettings)
        ?.jobsPerMonth;
    const slip = shop.records.findIndex(({ extractor }) => extractor === keyOf('entry'));
    const mistyped = shop.records.map((r, i) => (i === slip ? { ...r, finishedAt: '2000-01-01T12:00:00+00:00' } : r));
    expect(Math.abs((paceOf(mistyped) ?? 0) - (paceOf(shop.records) ?? 0))).toBeLessThan(0.5);
  });

  it('takes one job a month for one a month, and those of a first fortnight for a month’s', () => {
    const used = shop.records.filter(({ extractor }) => extractor === keyOf('entry')).slice(0, 5);
    const every = (days: number) =>
      used.map((r, i) => ({ ...r, finishedAt: new Date(now.getTime() - days * i * 86_400_000).toISOString() }));
    const paceOf = (days: number) =>
      upgradeReport(fit, { ...shop, records: every(days) }, now, ask({ jobsPerMonth: undefined }), defaultShopSettings)
        ?.jobsPerMonth;
    expect([paceOf(30.44), paceOf(3)]).toEqual([1, 5]);
  });

  it('says until when the pace was measured, of a machine that has stood since', () => {
    const later = new Date(now.getTime() + 400 * 86_400_000);
    const at = (when: Date, change: object) =>
      upgradeReport(fit, shop, when, ask(change), defaultShopSettings) ?? expect.fail('no report');
    const [working, idle] = [now, later].map((when) => at(when, { jobsPerMonth: undefined }));
    expect([idle.jobsPerMonth, working.paceUntil]).toEqual([working.jobsPerMonth, null]);
    const used = shop.records
      .filter(({ extractor }) => extractor === keyOf('entry'))
      .map(({ finishedAt }) => finishedAt);
    const last = new Date(Math.max(...used.map((at) => Date.parse(at)))).toISOString();
    expect(idle.paceUntil).toBe(last);
    expect(idle.answer).toContain(`those of the year up to ${last.slice(0, 10)}, the last job`);
    expect(working.answer).not.toContain('the last job');
    expect(at(later, { jobsPerMonth: 40 }).paceUntil).toBeNull();
  });

  it('says once that it does not come back, and claims no certainty from draws', () => {
    const { answer } = report({ labourRate: 0 }) ?? { answer: '' };
    expect(answer).toMatch(/^More likely than not .* \(chance more than 99 %\)/);
    expect(answer.match(/come back|comes back/g)).toHaveLength(1);
  });
});

function correlation(a: readonly number[], b: readonly number[]): number {
  const covariance = (x: readonly number[], y: readonly number[]) =>
    mean(x.map((value, i) => (value - mean(x)) * (y[i] - mean(y))));
  return covariance(a, b) / Math.sqrt(covariance(a, a) * covariance(b, b));
}
