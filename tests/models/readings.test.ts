import { describe, expect, it } from 'vitest';
import { createRandom } from '../../seed/random.ts';
import type { FinishedJob } from '../../src/domain/record.ts';
import { litresPerUsFluidOunce, litresPerUsGallon } from '../../src/domain/units.ts';
import { rowDot } from '../../src/inference/sparse.ts';
import { fitShop } from '../../src/models/fit.ts';
import { machineColumn, technicianColumn, termColumn } from '../../src/models/layout.ts';
import { latestStep, readingSteps, stepOfJob } from '../../src/models/reading-steps.ts';
import { jobReadings, logInterval } from '../../src/models/readings.ts';
import { waterLayout, waterRows } from '../../src/models/rows/water-rows.ts';
import { rulesOfThumb } from '../../src/models/rules-of-thumb.ts';
import { shopView } from '../../src/models/shop-view.ts';
import { lostTerm } from '../../src/models/terms/water-terms.ts';
import type { DoneSection } from '../../src/models/work-section.ts';
import { done, fitOf, machines, now, technicians } from './shop-under-test.ts';

const measured = (sprayedLitres: number, recoveredLitres: number, i = 0) =>
  done(`J-${i}`, { surfaceM2: 1.5 }, { sprayedLitres, recoveredLitres });

/** Tanks that are off by their step alone; the rest is in tanks.test.ts. */
function viewOf(records: readonly FinishedJob[]) {
  return { ...shopView(records, technicians, machines, rulesOfThumb), tanks: { noise: 0, through: 6 } };
}

function rowsOf(records: readonly FinishedJob[]) {
  const view = viewOf(records);
  return waterRows(view, waterLayout(view));
}

function sectionsOf(job: FinishedJob): readonly DoneSection[] {
  return viewOf([job]).jobs[0].sections;
}

/** As a file's column of gallons is stored. */
const inGallons = (gallons: number) => Number((gallons * litresPerUsGallon).toPrecision(12));

describe('the step that a shop reads its tanks in', () => {
  it.each([
    ['whole litres', [8, 5, 12, 9, 7, 6], 1],
    ['half litres', [8, 5.5, 12, 9.5, 7, 6.5], 0.5],
    ['quarter litres', [8.25, 5.5, 12, 9.75, 7, 6.5], 0.25],
    ['tenths', [8.3, 5.7, 12.1, 9.9, 7, 6.4], 0.1],
    ['twentieths', [8.35, 5.7, 12.15, 9.9, 7, 6.4], 0.05],
    ['a scale to the hundredth', [8.37, 5.71, 12.13, 9.92, 7, 6.4], 0.01],
    ['no step at all', [8.3712, 5.7123, 12.1347, 9.9211, 7.0009, 6.4441], 0.01],
    ['quarter gallons', [2, 1.25, 3, 2.75, 1.75, 1.5].map(inGallons), litresPerUsGallon / 4],
    ['tenths of a gallon', [2.1, 1.2, 3, 2.7, 1.8, 1.5].map(inGallons), litresPerUsGallon / 10],
    ['hundredths of a gallon', [2.17, 1.23, 3.01, 2.79, 1.8, 1.5].map(inGallons), litresPerUsGallon / 100],
    ['fluid ounces', [211 / 128, 97 / 128, 3, 2.75, 2, 1.5].map(inGallons), litresPerUsFluidOunce],
  ])('is found: %s', (_, litres, step) => {
    const records = [0, 2, 4].map((i) => measured(litres[i], litres[i + 1], i));
    expect(stepNow(records)).toBe(step);
  });

  it('forgives one odd reading in twenty, not two', () => {
    const whole = Array.from({ length: 10 }, (_, i) => measured(9 + i, 6 + i, i));
    expect(stepNow([...whole.slice(1), measured(9.3, 6)])).toBe(1);
    expect(stepNow([...whole.slice(1), measured(9.3, 6.3)])).toBe(0.1);
  });

  it('is of its time: finer jugs have not read the old ones more finely', () => {
    const at = (i: number) => new Date(Date.UTC(2026, 0, 1 + i)).toISOString();
    const read = (i: number, sprayed: number) => ({ ...measured(sprayed, sprayed - 2, i), finishedAt: at(i) });
    const whole = Array.from({ length: 40 }, (_, i) => read(i, 7 + (i % 5)));
    const tenths = Array.from({ length: 40 }, (_, i) => read(40 + i, 7.1 + (i % 5)));
    for (const records of [
      [...whole, ...tenths],
      [...tenths, ...whole],
    ]) {
      const steps = readingSteps(records);
      expect(steps.map(({ stepL }) => stepL)).toEqual([1, 0.1]);
      const stepOn = (finishedAt: string) => stepOfJob(steps, { ...tenths[0], finishedAt }, 'job');
      expect([0, 39, 40, 90].map((i) => stepOn(at(i)))).toEqual([1, 1, 0.1, 0.1]);
      expect(stepOn('2025-01-01T00:00:00Z')).toBe(1);
      expect(latestStep(steps)).toBe(0.1);
    }
    expect(fitOf([...whole, ...tenths]).readingSteps).toHaveLength(2);
  });

  it('is one of the tanks and another of the jug that a section is read with', () => {
    const ofSection = (i: number) => {
      const job = done(`S-${i}`);
      const read = { surfaceM2: 1.6, sprayedLitres: 1.1 + 0.3 * (i % 4), recoveredLitres: 0.8 };
      return { ...job, sections: job.sections.map((one, s) => (s === 0 ? { ...one, ...read } : one)) };
    };
    const records = [
      ...Array.from({ length: 12 }, (_, i) => measured(9 + i, 7 + i, i)),
      ...Array.from({ length: 12 }, (_, i) => ofSection(i)),
    ];
    expect(readingSteps(records)).toMatchObject([{ stepL: 1, sectionStepL: 0.1 }]);
    const [first] = records;
    expect(stepOfJob(readingSteps(records), first, 'job')).toBe(1);
    expect(stepOfJob(readingSteps(records), first, 'section')).toBe(0.1);
    // Of what nobody has read of sections the tanks’ step is the best guess, and the other way round.
    expect(readingSteps(records.slice(0, 12))).toMatchObject([{ stepL: 1, sectionStepL: 1 }]);
    expect(readingSteps(records.slice(12))).toMatchObject([{ stepL: 0.1, sectionStepL: 0.1 }]);
    const { lower, upper } = rowsOf(records).observations;
    const width = (row: number) => Math.exp(upper[row]) - Math.exp(lower[row]);
    const surfaceM2 = sectionsOf(first).map((one) => one.surfaceM2);
    expect(width(0)).toBeCloseTo((2 * Math.SQRT1_2) / (surfaceM2[0] + surfaceM2[1]), 10);
    expect(width(12)).toBeCloseTo((2 * 0.1 * Math.SQRT1_2) / 1.6, 10);
  });

  it('is, where nothing was read before, that of the first job’s own readings, and half a litre of those to come', () => {
    const nothing = readingSteps([done('J-0')]);
    expect(nothing).toEqual([]);
    expect(latestStep(nothing)).toBe(0.5);
    expect(stepOfJob(nothing, measured(9, 8), 'job')).toBe(1);
    expect(stepOfJob(nothing, measured(9.5, 8), 'job')).toBe(0.5);
    expect(stepOfJob(nothing, measured(9.3, 8), 'job')).toBe(0.1);
    expect(stepOfJob(readingSteps([measured(9.3, 8)]), measured(9, 8), 'job')).toBe(0.1);
  });
});

describe('a reading as the water model takes it', () => {
  const of = (litresLeft: number, surfaceM2 = 3) => {
    const [section] = sectionsOf(done('J-0', { surfaceM2 }));
    return { sections: [section], litresLeft };
  };

  it('is an interval as wide as two tanks are off, each by half a step at most', () => {
    const { lower, upper } = logInterval(of(3), 1);
    expect(Math.exp(lower)).toBeCloseTo((3 - Math.SQRT1_2) / 3, 12);
    expect(Math.exp(upper)).toBeCloseTo((3 + Math.SQRT1_2) / 3, 12);
  });

  it('varies as much as the difference of two rounded readings', () => {
    const random = createRandom(7, 1);
    const off = Array.from({ length: 40_000 }, () => {
      const [sprayed, recovered] = [random.between(5, 30), random.between(5, 30)];
      return Math.round(sprayed) - Math.round(recovered) - (sprayed - recovered);
    });
    const variance = off.reduce((sum, value) => sum + value * value, 0) / off.length;
    const { lower, upper } = logInterval(of(3), 1);
    const width = 3 * (Math.exp(upper) - Math.exp(lower));
    // 1/6 with a standard error of 0.0009
    expect(width ** 2 / 12 / variance).toBeCloseTo(1, 1);
    expect(Math.abs(width ** 2 / 12 - variance)).toBeLessThan(0.003);
  });

  it('is only known from above where the interval reaches zero', () => {
    for (const left of [0, 0.5, 0.7]) {
      const { lower, upper } = logInterval(of(left), 1);
      expect(lower).toBe(Number.NEGATIVE_INFINITY);
      expect(Math.exp(upper)).toBeCloseTo((left + Math.SQRT1_2) / 3, 12);
    }
  });

  it('is exact where the step is under three hundredths of it', () => {
    const fine = logInterval(of(3.5), 0.1);
    expect(fine.lower).toBe(fine.upper);
    const coarse = logInterval(of(3.3), 0.1);
    expect(coarse.lower).toBeLessThan(coarse.upper);
  });

  it('makes interval rows of whole litres', () => {
    const { observations, used } = rowsOf([measured(9, 7, 1), measured(12, 11, 2), measured(8, 5, 3)]);
    expect(used).toBe(3);
    const half = Math.SQRT1_2;
    for (const [i, left] of [2, 1, 3].entries()) {
      expect(3 * Math.exp(observations.lower[i])).toBeCloseTo(left - half, 12);
      expect(3 * Math.exp(observations.upper[i])).toBeCloseTo(left + half, 12);
    }
    // 0.15² × (½² + ½²): two sections' own errors in their mean.
    for (const variance of observations.addedVariance ?? []) expect(variance).toBeCloseTo(0.15 ** 2 / 2, 12);
  });
});

describe('identity: tanks hold the litres of all sections', () => {
  it('a row expects the logarithm of their mean, not the mean of their logarithms', () => {
    const job = measured(9, 7);
    const [front, rear] = job.sections;
    const mixed = { ...job, sections: [front, { ...rear, fabric: 'headlining' as const, surfaceM2: 3, wetPasses: 1 }] };
    const ruleOf = (term: string) => rulesOfThumb.find(({ id }) => id === `water.${term}`)?.mean ?? expect.fail(term);
    const { rows, observations } = rowsOf([mixed]);
    const { terms } = waterLayout(viewOf([mixed]));
    const byRules = Float64Array.from({ length: rows.nColumns }, (_, j) => (j < terms.length ? ruleOf(terms[j]) : 0));
    const seat = Math.exp(ruleOf('int'));
    const ofOther = Math.exp(ruleOf('int') + ruleOf('headlining') + ruleOf('lwet') * Math.log(1 / 2));
    const mean = (1.5 * seat + 3 * ofOther) / 4.5;
    expect(observations.offset[0] + rowDot(rows, 0, byRules)).toBeCloseTo(
      Math.log(mean) + ruleOf('lost') * lostTerm(4.5),
      12,
    );
    expect(observations.offset[0]).toBeGreaterThan(0.1);
  });

  it('a single section, or sections alike, have nothing to add', () => {
    expect(rowsOf([measured(9, 7)]).observations.offset[0]).toBeCloseTo(0, 12);
  });
});

describe('what counts as one reading', () => {
  it('is the job’s totals, once', () => {
    const job = measured(9.31, 7.12);
    const { readings } = jobReadings(job, sectionsOf(job));
    expect(readings.map(({ sections, litresLeft }) => [sections.length, litresLeft])).toEqual([[2, 9.31 - 7.12]]);
  });

  it('is each section where all have their own, and the totals where one has not', () => {
    const own = done('J-0', { sprayedLitres: 4, recoveredLitres: 3 }, { sprayedLitres: 8, recoveredLitres: 6 });
    expect(jobReadings(own, sectionsOf(own)).readings).toHaveLength(2);
    const { sprayedLitres: _, ...unread } = own.sections[1];
    const partly = { ...own, sections: [own.sections[0], unread] };
    expect(jobReadings(partly, sectionsOf(partly)).readings.map(({ sections }) => sections.length)).toEqual([2]);
  });

  it('is nothing in spot work, which has no tank', () => {
    const spot = done('J-0', { method: 'spot' }, { extractor: null });
    expect(jobReadings(spot, sectionsOf(spot)).readings).toEqual([]);
    expect(rowsOf([spot]).used).toBe(0);
  });

  it('is left out with its reason where more came back than went in', () => {
    const { used, leftOut } = rowsOf([measured(9, 7, 1), measured(5, 7, 2)]);
    expect(used).toBe(1);
    expect(leftOut.map(({ ref }) => ref)).toEqual(['J-2']);
    expect(leftOut[0].reason).toMatch(/recovered/);
  });
});

describe('recovery: litres read coarsely', () => {
  it.each([1, 0.5, 0.1])('still tell of 0.8 L/m², far above the rule of thumb, in steps of %d L', (step) => {
    const random = createRandom(4, 1);
    const toStep = (litres: number) => Math.round(Math.round(litres / step) * step * 1e6) / 1e6;
    const jobs = Array.from({ length: 120 }, (_, i) => {
      const sprayed = random.between(8, 12);
      const left = 3 * 0.8 * random.spread(0.15);
      const labour = [{ technician: 'ann', minutes: 200 * random.spread(0.1) }];
      return { ...measured(toStep(sprayed), toStep(sprayed - left), i), labour };
    });
    const { layout, posterior } = fitOf(jobs).models.water;
    const columns = [0, technicianColumn(layout, 'ann'), machineColumn(layout, 'standard-one') ?? -1];
    const lost = termColumn(layout, 'lost');
    const level = posterior.points.reduce(
      (sum, { weight, mode }) =>
        sum + weight * columns.reduce((eta, column) => eta + mode[column], lostTerm(3) * mode[lost]),
      0,
    );
    // The mean of 120 readings, each 0.17 off by its own spread and a whole litre's reading as much again, is known to 0.02 or so.
    expect(Math.abs(level - Math.log(0.8))).toBeLessThan(0.06);
  });

  it('can be all zero, and the fit still stands', () => {
    const jobs = Array.from({ length: 30 }, (_, i) => measured(10, 10, i));
    expect(fitShop({ records: jobs, technicians, machines, now }).status).toBe('fitted');
  });
});

function stepNow(records: Parameters<typeof readingSteps>[0]): number {
  return latestStep(readingSteps(records));
}
