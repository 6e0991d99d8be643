import { describe, expect, it } from 'vitest';
import { computeFit, type FitMaterial } from '../../jobs/compute-fit.ts';
import { judge } from '../../src/insight/publication.ts';
import { scoreJob } from '../../src/insight/scoring/job-scores.ts';
import { type MonthScores, total } from '../../src/insight/scoring/month-scores.ts';
import { scoreShop } from '../../src/insight/scoring/score-shop.ts';
import { fitShop } from '../../src/models/fit.ts';
import { decodeShopFit } from '../../src/models/fit-codec.ts';
import type { FittedModel, ShopFit } from '../../src/models/shop-fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const now = new Date('2026-01-05');

function material(kind: 'lumps' | 'strips', seed: number, nJobs: number): FitMaterial {
  const { technicians, machines, records } = simulateShop(kind, seed, nJobs, {});
  return { technicians, machines, records, timeZone: 'Etc/UTC', rules: {}, now };
}

function fitText(posterior: string | null | undefined): ShopFit {
  return decodeShopFit(posterior ?? expect.fail('no fit'));
}

function fitOf(of: FitMaterial): ShopFit {
  const result = fitShop(of);
  if (result.status !== 'fitted') throw new Error(result.failures.map(({ message }) => message).join());
  return result.fit;
}

const shop = material('lumps', 11, 240);
const { months } = scoreShop({ ...shop, version: 1 });
const fit = fitOf(shop);

describe('contract: scoring by rolling origin', () => {
  it('forecasts every month from what was known at its start, and no later', () => {
    let known = 0;
    for (const month of months) {
      expect(month.jobsKnown).toBe(shop.records.filter(({ finishedAt }) => finishedAt < `${month.month}-01`).length);
      expect(month.jobsKnown).toBeGreaterThanOrEqual(known);
      known = month.jobsKnown;
    }
    expect(months.reduce((sum, { jobs }) => sum + jobs, 0)).toBe(240 - months[0].jobsKnown);
  });

  it('holds its 80 % ranges, and beats rule of thumb and soil-level means for hours', () => {
    const labour = total(months, 'labour');
    expect(labour.inside80 / labour.n).toBeGreaterThan(0.72);
    expect(labour.inside80 / labour.n).toBeLessThan(0.88);
    expect(labour.ruleOfThumb.own).toBeLessThan(labour.ruleOfThumb.other);
    expect(labour.soilMeans.n).toBe(labour.n);
    expect(labour.soilMeans.own).toBeLessThan(labour.soilMeans.other);
  });

  it('computes a month again only where something of its past changed', () => {
    const marked = months.map((month) => ({ ...month, jobs: -1 }));
    expect(scoreShop({ ...shop, formerMonths: marked, version: 1 }).months).toEqual(marked);
    const last = months.at(-1)?.month ?? '';
    const changed = shop.records.map((record) =>
      record.finishedAt.startsWith(last) ? { ...record, labour: [{ ...record.labour[0], minutes: 100 }] } : record,
    );
    const { months: again } = scoreShop({ ...shop, records: changed, formerMonths: marked, version: 1 });
    expect(again.map(({ jobs }) => jobs === -1)).toEqual(months.map(({ month }) => month !== last));
    expect(scoreShop({ ...shop, formerMonths: marked, version: 2 }).months.every(({ jobs }) => jobs !== -1)).toBe(true);
  });
});

describe('contract: which fits are published', () => {
  it.each([
    ['lumps', 21],
    ['lumps', 22],
    ['strips', 23],
    ['strips', 24],
  ] as const)('a sound one is (%s, %i)', (kind, seed) => {
    const { status, reason } = computeFit(material(kind, seed, 150));
    expect([status, reason]).toEqual(['published', null]);
  });

  it('one whose spread has collapsed is not', () => {
    const narrow = (model: FittedModel): FittedModel => {
      const points = model.posterior.points.map((point) => ({ ...point, sigma: 0.05 * point.sigma }));
      return { ...model, posterior: { ...model.posterior, points } };
    };
    const { passes, labour, water, drying } = fit.models;
    const models = { passes: narrow(passes), labour: narrow(labour), water: narrow(water), drying: narrow(drying) };
    const verdict = judge({ ...fit, models }, shop.records, shop, months, []);
    expect(verdict.publish).toBe(false);
    expect(verdict.reasons.join()).toMatch(/labour: its 80 % ranges hold only \d+ of 120 jobs/);
    expect(judge(fit, shop.records, shop, months, []).publish).toBe(true);
  });

  it('one with a number that is none is not', () => {
    const [first, ...rest] = fit.models.water.posterior.points;
    const points = [{ ...first, weight: Number.NaN }, ...rest];
    const broken = {
      ...fit,
      models: { ...fit.models, water: { ...fit.models.water, posterior: { ...fit.models.water.posterior, points } } },
    };
    const unreadable = { ...fit, tanks: { ...fit.tanks, through: Number.POSITIVE_INFINITY } };
    for (const one of [broken, unreadable])
      expect(judge(one, [], shop, months, []).reasons).toContain('some of its numbers are not finite');
  });

  it('one that forecasts worse than the rule of thumb, or than what it replaces, is not', () => {
    const worse = (by: number): MonthScores[] =>
      months.map((month) => {
        const { labour } = month.models;
        const { n, own, other } = labour.ruleOfThumb;
        const gap = own + by * n - other;
        const ruleOfThumb = { n, own: own + by * n, other, gapSquares: (2 * gap ** 2) / Math.max(1, n) };
        const spoilt = { ...labour, score: labour.score + by * n, ruleOfThumb };
        return { ...month, models: { ...month.models, labour: spoilt } };
      });
    expect(judge(fit, shop.records, shop, worse(2), []).reasons.join()).toContain('worse than the rule of thumb');
    expect(judge(fit, shop.records, shop, worse(0.05), months).reasons.join()).toContain(
      'worse than the fit it would replace',
    );
    expect(judge(fit, shop.records, shop, months, months).reasons).toEqual([]);
  });

  it('four months a little worse by chance are no reason, four clearly worse are, whatever months stayed as they were', () => {
    const lastFourBy = (gaps: readonly number[]): MonthScores[] =>
      months.map((month, i) => {
        const { labour } = month.models;
        const by = gaps[i - (months.length - gaps.length)] ?? 0;
        return { ...month, models: { ...month.models, labour: { ...labour, score: labour.score + by * labour.n } } };
      });
    const reasons = (gaps: readonly number[]) =>
      judge(fit, shop.records, shop, lastFourBy(gaps), months).reasons.join();
    expect(months.length).toBeGreaterThan(8);
    expect(reasons([0.02, 0.03, 0.05, 0.08])).toBe('');
    expect(reasons([0.05, 0.06, 0.06, 0.07])).toBe('labour: over 4 months it was worse than the fit it would replace');
  });

  it('one of a shop of four jobs is, and says that this is too few to judge by', () => {
    const { status, scores } = computeFit(material('lumps', 31, 4));
    expect(status).toBe('published');
    expect(scores?.verdict.notes.join()).toContain('too few to judge by');
  });

  it('one of a shop that became twice as slow is, month after month: an older fit would do no better', () => {
    const slow = material('strips', 41, 240);
    const half = slow.records[120].finishedAt;
    const records = slow.records.map((record) =>
      record.finishedAt < half
        ? record
        : { ...record, labour: record.labour.map((one) => ({ ...one, minutes: 2 * one.minutes })) },
    );
    const ends = [150, 180, 210, 240];
    const computed = ends.map((end) => computeFit({ ...slow, records: records.slice(0, end) }));
    expect(computed.map(({ status }) => status)).toEqual(ends.map(() => 'published'));
    // What came lies within a tenth of what the last fit expects; in the middle of both halves' levels it would be off by four.
    const last = fitText(computed.at(-1)?.posterior);
    const error = records.slice(210).map((job) => scoreJob(last, job, slow).labour?.residual ?? Number.NaN);
    expect(Math.abs(error.reduce((sum, one) => sum + one, 0) / error.length)).toBeLessThan(0.1);
  });
});
