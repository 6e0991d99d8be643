import { describe, expect, it } from 'vitest';
import { type FinishedJob, finishedJob } from '../../src/domain/record.ts';
import { areas } from '../../src/domain/vocabulary.ts';
import { vacuumHabits } from '../../src/models/habits.ts';
import { evenlySpread, sparse } from '../../src/models/rows/model-rows.ts';
import { surfaceRatios } from '../../src/models/surface-ratios.ts';
import { labourSpread } from '../../src/models/terms/labour-terms.ts';
import { contentMinutes, workContent } from '../../src/models/work-content.ts';
import { doneSections, workSection } from '../../src/models/work-section.ts';
import { done, seats } from './shop-under-test.ts';

const fillsOf = (records: readonly FinishedJob[]) => ({
  surfaceRatios: surfaceRatios(records),
  vacuumHabits: vacuumHabits(records),
});
const noFills = fillsOf([]);
const sectionsOf = (job: ReturnType<typeof seats>, fills = noFills) =>
  job.sections.map((section) => workSection(section, job, fills, [{ key: undefined, share: 1 }]));

/** Common practice, no source: the table's surfaces and minutes, worked by hand. */
describe('work content', () => {
  it('of a sedan’s seats at two passes, taken out, is 25 + 1.6 · 25 + 6 + 1.7 · 25 + 6 + 60 minutes', () => {
    expect(contentMinutes(workContent(sectionsOf(seats()), true), [2, 2])).toBeCloseTo(179.5, 10);
  });

  it('of the same by two rounds of spot work, left in, is 25 + 1.6 · 12 + 6 + 1.7 · 12 + 6', () => {
    expect(contentMinutes(workContent(sectionsOf(seats({ method: 'spot' })), false), [2, 2])).toBeCloseTo(76.6, 10);
  });

  it('counts a piece for each seat that comes out, and none for mats', () => {
    const mats = seats({ area: 'floor-mats', count: 4 });
    expect(workContent(sectionsOf(seats()), true).seatsOutMinutes).toBe(60);
    expect(workContent(sectionsOf(mats), true).seatsOutMinutes).toBe(0);
  });
});

describe('the spread of hours', () => {
  const of = (count: number) =>
    labourSpread(Array.from({ length: count }, () => sectionsOf(seats({ surfaceM2: 1 }))[0]));

  it('is sigma’s for two sections alike; of a single one three parts in four of the variance are its own', () => {
    expect(of(2)).toBeCloseTo(1, 12);
    expect(of(1) ** 2).toBeCloseTo(4 / 2.5, 12);
    expect(of(6) ** 2).toBeCloseTo(1.5 / 2.5, 12);
  });

  it('weighs a row: scaled, its error is like any other’s', () => {
    const row = {
      rows: sparse(
        [
          {
            entries: [
              [0, 1],
              [2, -3],
            ],
          },
        ],
        3,
      ),
      refs: ['x'],
      used: 1,
      leftOut: [],
    };
    const one = (value: number) => Float64Array.of(value);
    const observations = { lower: one(5), upper: one(5), offset: one(1) };
    const scaled = evenlySpread({ ...row, observations, spread: one(2) });
    expect([...scaled.rows.value]).toEqual([0.5, -1.5]);
    expect([scaled.observations.lower, scaled.observations.upper, scaled.observations.offset]).toEqual([
      one(2.5),
      one(2.5),
      one(0.5),
    ]);
  });
});

describe('surface', () => {
  it('is the plan’s own where it says one, else the table by body style', () => {
    expect(sectionsOf(seats({ surfaceM2: 2 })).map(({ surfaceM2 }) => surfaceM2)).toEqual([2, 2]);
    expect(sectionsOf(seats({}, { bodyStyle: 'minivan' }))[0].surfaceM2).toBeCloseTo(1.3 * 1.6, 10);
  });

  it('takes the shop’s own ratio by area, shrunk by three pseudo-records to its overall one', () => {
    // Ten front seats at twice the table, nothing else: overall (20 + 3) / 13, front (20 + 3 · overall) / 13, elsewhere the overall one.
    const records = Array.from({ length: 10 }, (_, i) =>
      finishedJob.parse({ ...done(`s${i}`), sections: [{ ...done('x').sections[0], surfaceM2: 3.2 }] }),
    );
    const ratios = surfaceRatios(records);
    const overall = 23 / 13;
    expect(ratios['front-seat']).toBeCloseTo((20 + 3 * overall) / 13, 12);
    expect(ratios.cargo).toBeCloseTo(overall, 12);
    expect(sectionsOf(seats(), fillsOf(records))[1].surfaceM2).toBeCloseTo(1.7 * overall, 12);
  });

  it('is the table’s with no records, and moved by no slipped decimal point', () => {
    expect(Object.values(surfaceRatios([]))).toEqual(areas.map(() => 1));
    for (const surfaceM2 of [16, 0.16]) {
      const slipped = finishedJob.parse({ ...done('x'), sections: [{ ...done('x').sections[0], surfaceM2 }] });
      expect(surfaceRatios([slipped])).toEqual(surfaceRatios([]));
    }
  });
});

describe('a section that names nobody', () => {
  it('was worked by whoever gave the job the most minutes', () => {
    const labour = [
      { technician: 'ann', minutes: 60 },
      { technician: 'ben', minutes: 90 },
    ];
    const job = done('x', {}, { labour });
    expect(doneSections(job, noFills).map(({ technician }) => technician)).toEqual(['ben', 'ben']);
    const named = done('y', { technician: 'ann' }, { labour });
    expect(doneSections(named, noFills).map(({ technician }) => technician)).toEqual(['ann', 'ann']);
  });
});
