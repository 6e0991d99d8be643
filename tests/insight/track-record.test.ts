import { describe, expect, it } from 'vitest';
import { emptyModels, emptyMonth } from '../../src/insight/scoring/month-scores.ts';
import { scoreShop } from '../../src/insight/scoring/score-shop.ts';
import { trackRecord } from '../../src/insight/track-record.ts';
import { simulateShop } from '../support/simulate/shop.ts';

function recordOf(nJobs: number, factor = 1) {
  const { technicians, machines, records } = simulateShop('lumps', 61, nJobs);
  const from = `${records[Math.floor((2 / 3) * nJobs)].finishedAt.slice(0, 7)}-01`;
  const changed = records.map((record) =>
    record.finishedAt < from
      ? record
      : { ...record, labour: record.labour.map((one) => ({ ...one, minutes: factor * one.minutes })) },
  );
  const { months } = scoreShop({ technicians, machines, records: changed, rules: {}, version: 1 });
  return { from: from.slice(0, 7), months, track: trackRecord(months, undefined) };
}

describe('contract: the track record', () => {
  it('says in its answer since when jobs take longer than forecast, and nothing of the kind where they do not', () => {
    const { from, track } = recordOf(240, 1.5);
    expect(track.changes.map(({ model, since }) => [model, since])).toEqual([['labour', from]]);
    expect(track.answer).toContain(track.changes[0].says);
    expect(recordOf(240).track.changes).toEqual([]);
  });

  it('tells which figure creeps, and nothing of one that may as well have stayed', () => {
    const log = (p05: number, p50: number, p95: number) => ({
      term: 'crept 2025-12',
      p05: Math.log(p05),
      p50: Math.log(p50),
      p95: Math.log(p95),
    });
    const terms = { labour: [log(0.88, 0.91, 0.95)], water: [log(0.97, 1.02, 1.06)] };
    const track = trackRecord([], undefined, [], (model) =>
      model === 'labour' || model === 'water' ? terms[model] : [],
    );
    expect(track.creeping).toEqual([
      {
        model: 'labour',
        since: '2025-12',
        levelBefore: { p05: 0.88, p50: 0.91, p95: 0.95 },
        says: 'Hours: the level creeps, and forecasts follow: jobs before 2025-12 count as 9 % quicker than those since (90 % range 5 to 12 %).',
      },
    ]);
    expect(track.answer).toContain(track.creeping[0].says);
  });

  it('makes no per cent of a plain way that was all but right: nothing is that many times better or worse', () => {
    const { months } = recordOf(60);
    const faultless = months.map((month) => {
      const { labour } = month.models;
      const soilMeans = { ...labour.soilMeans, other: 1e-17 };
      return { ...month, models: { ...month.models, labour: { ...labour, soilMeans } } };
    });
    const of = (some: typeof months) => trackRecord(some, undefined).models.find(({ model }) => model === 'labour');
    expect(of(months)?.gainOverSoilMeans).not.toBeNull();
    expect(of(faultless)).toMatchObject({ gainOverSoilMeans: null, rangeOverSoilMeans: null });
    expect(of(faultless)?.soilMeans).toBeGreaterThan(0);
  });

  it('claims no gain and no loss of two jobs that agree, which chance does in every third shop', () => {
    const gaps = [0.9, 0.5];
    const sum = (of: (gap: number) => number) => gaps.reduce((total, gap) => total + of(gap), 0);
    const ruleOfThumb = { n: 2, own: sum((gap) => 2 - gap), other: 4, gapSquares: sum((gap) => gap ** 2) };
    const labour = { ...emptyMonth, n: 2, ruleOfThumb };
    const about = { month: '2025-03', jobsKnown: 1, jobs: 2, basis: '', failed: null };
    const { models } = trackRecord([{ ...about, models: { ...emptyModels(), labour } }], undefined);
    // Mean gap 0.7 of 2 with standard error 0.2; t of one degree of freedom reaches 6.314 of those.
    const { gainPercent, says } = models.find(({ model }) => model === 'labour') ?? expect.fail('no hours');
    expect(gainPercent?.p50).toBeCloseTo(35, 6);
    expect(gainPercent?.p05).toBeCloseTo(50 * (0.7 - 6.3138 * 0.2), 1);
    expect(says).toContain('No better than the rule of thumb, as far as can be told.');
  });

  it('says of few jobs that they are few', () => {
    expect(recordOf(12).track.answer).toMatch(/Hours: \d+ of 12 inside the 80 % range: too few to tell\./);
  });

  it('says so where nothing was forecast yet', () => {
    expect(trackRecord([], undefined)).toMatchObject({ months: [], changes: [] });
    // A shop whose fit was withdrawn has had forecasts that met theirs.
    expect(trackRecord([], undefined).answer).toContain(
      'No forecast has met its outcome yet that was made as estimates are now',
    );
  });
});
