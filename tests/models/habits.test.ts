import { describe, expect, it } from 'vitest';
import { estimateJob } from '../../src/models/estimate.ts';
import { dryHabits, dryTerm, habitOf, machineShares, technicianShares, vacuumHabits } from '../../src/models/habits.ts';
import { passesLayout, passesRows } from '../../src/models/rows/passes-rows.ts';
import { rulesOfThumb } from '../../src/models/rules-of-thumb.ts';
import { shopView } from '../../src/models/shop-view.ts';
import { context, done, fitOf, machines, now, seats, technicians } from './shop-under-test.ts';

describe('dry passes', () => {
  it('count against one to a wet one, four at most', () => {
    expect([dryTerm(2, 2), dryTerm(4, 2), dryTerm(0, 2), dryTerm(20, 2)]).toEqual([0, 1, -1, 3]);
  });

  it('that nobody wrote down are the technician’s own mean, shrunk by four pseudo-records to the shop’s', () => {
    // Ann: four sections at two dry passes to a wet one (1), two jobs; ben: two sections with none (−1).
    const byBen = { labour: [{ technician: 'ben', minutes: 100 }] };
    const habits = dryHabits([
      done('a', { dryPasses: 4 }),
      done('b', { dryPasses: 4 }),
      done('c', { dryPasses: 0 }, byBen),
    ]);
    const shop = (4 - 2) / (6 + 4);
    expect(habits.shop).toBeCloseTo(shop, 12);
    expect(habitOf(habits, 'ann')).toBeCloseTo((4 + 4 * shop) / 8, 12);
    expect(habitOf(habits, 'ben')).toBeCloseTo((-2 + 4 * shop) / 6, 12);
    expect(habitOf(habits, 'someone new')).toBe(habits.shop);
    expect(habitOf(habits, 'constructor')).toBe(habits.shop);
  });

  it('are not read from spot work, nor where they were not written down', () => {
    expect(dryHabits([done('a', { method: 'spot', dryPasses: 0 }), done('b')]).shop).toBe(0);
  });
});

describe('a last round with the vacuum', () => {
  const byBen = { labour: [{ technician: 'ben', minutes: 100 }] };
  const vacuumed = (count: number) => Array.from({ length: count }, (_, i) => done(`v${i}`, {}, { finalVacuum: true }));

  it('is a habit by person, of the jobs that say whether there was one', () => {
    const habits = vacuumHabits([
      ...vacuumed(6),
      done('n', {}, { ...byBen, finalVacuum: false }),
      done('unsaid', {}, byBen),
    ]);
    const shop = 6 / (7 + 4);
    expect(habits.shop).toBeCloseTo(shop, 12);
    expect(habitOf(habits, 'ann')).toBeCloseTo((6 + 4 * shop) / 10, 12);
    expect(habitOf(habits, 'ben')).toBeCloseTo((4 * shop) / 5, 12);
  });

  const shop = () =>
    fitOf([
      ...vacuumed(20),
      ...Array.from({ length: 20 }, (_, i) => done(`n${i}`, {}, { ...byBen, finalVacuum: false })),
    ]);

  it('stands between yes and no in a plan that does not say, as often as whoever does it has one', () => {
    const fit = shop();
    const water = (job: Parameters<typeof seats>[1]) => estimateJob(fit, seats({}, job), context).waterLPerM2.p50;
    for (const technician of ['ann', 'ben']) {
      const [yes, open, no] = [true, undefined, false].map((finalVacuum) => water({ technician, finalVacuum }));
      const share = Math.log(no / open) / Math.log(no / yes);
      expect(share).toBeCloseTo(habitOf(fit.vacuumHabits, technician), 2);
    }
  });

  it('is that of whoever may get the job where the plan names nobody: of one who has left it says nothing', () => {
    const fit = shop();
    const technicians = context.technicians.filter(({ key }) => key === 'ben');
    const water = (job: Parameters<typeof seats>[1]) =>
      estimateJob(fit, seats({}, job), { ...context, technicians }).waterLPerM2;
    expect(water({})).toEqual(water({ technician: 'ben' }));
  });
});

describe('an extractor that nobody wrote down', () => {
  const litres = { sprayedLitres: 6, recoveredLitres: 4.7 };
  const jobs = (name: (i: number) => string | null) =>
    Array.from({ length: 24 }, (_, i) => done(`j${i}`, { wetPasses: 1 + (i % 2) }, { ...litres, extractor: name(i) }));

  it('is the one that the shop has, where there is but one', () => {
    const modes = (name: (i: number) => string | null) => {
      const { passes, labour, water } = fitOf(jobs(name)).models;
      return [passes, labour, water].map(({ posterior }) => [...posterior.points[0].mode]);
    };
    expect(modes((i) => (i % 2 === 0 ? 'high-one' : null))).toEqual(modes(() => 'high-one'));
  });

  it('is each of several by its share of the jobs that say', () => {
    const named = jobs((i) => (i % 4 === 0 ? 'entry-one' : 'high-one'));
    const view = shopView([...named, done('unsaid', {}, { extractor: null })], technicians, machines, rulesOfThumb);
    expect(view.jobs[24].extractors).toEqual([
      { key: 'high-one', grade: 'high', share: 0.75 },
      { key: 'entry-one', grade: 'entry', share: 0.25 },
    ]);
    const rows = passesRows(view, passesLayout(view)).rows;
    const { nRows, rowStart, column, value } = rows;
    const last = new Map<number, number>();
    for (let k = rowStart[nRows - 1]; k < rowStart[nRows]; k++) last.set(column[k], value[k]);
    const { terms } = passesLayout(view);
    expect([last.get(terms.indexOf('int')), last.get(terms.indexOf('high')), last.get(terms.indexOf('entry'))]).toEqual(
      [1, 0.75, 0.25],
    );
  });

  it('is some ordinary one where none is ever named', () => {
    const view = shopView([done('unsaid', {}, { extractor: null })], technicians, machines, rulesOfThumb);
    expect(view.jobs[0].extractors).toEqual([{ key: null, grade: 'standard', share: 1 }]);
  });
});

describe('shares of recent jobs', () => {
  const byBen = { labour: [{ technician: 'ben', minutes: 100 }], extractor: 'high-one' };

  it('count the last half year alone, a job’s minutes split among its people', () => {
    const together = {
      labour: [
        { technician: 'ann', minutes: 30 },
        { technician: 'ben', minutes: 90 },
      ],
    };
    const records = [done('a', {}, together), done('old', {}, { ...byBen, finishedAt: '2025-01-01T10:00:00Z' })];
    expect(technicianShares(records, now)).toEqual([
      { key: 'ben', share: 0.75 },
      { key: 'ann', share: 0.25 },
    ]);
    expect(machineShares(records, now)).toEqual([{ key: 'standard-one', share: 1 }]);
  });

  it('count all jobs where the last half year has none, and nobody where there are no jobs', () => {
    const records = [done('old', {}, { ...byBen, finishedAt: '2025-01-01T10:00:00Z' })];
    expect(technicianShares(records, now)).toEqual([{ key: 'ben', share: 1 }]);
    expect(machineShares(records, now)).toEqual([{ key: 'high-one', share: 1 }]);
    expect(technicianShares([], now)).toEqual([]);
  });
});
