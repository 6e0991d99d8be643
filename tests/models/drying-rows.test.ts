import { describe, expect, it } from 'vitest';
import type { DryingCheck } from '../../src/domain/record.ts';
import { multiply } from '../../src/inference/cholesky.ts';
import type { Observations, SparseRows } from '../../src/inference/types.ts';
import { dryingRate } from '../../src/models/drying-air.ts';
import { columnCount } from '../../src/models/layout.ts';
import { dryingLayout, dryingRowsOnWater } from '../../src/models/rows/drying-rows.ts';
import { ruleTable } from '../../src/models/rule-table.ts';
import { shopView } from '../../src/models/shop-view.ts';
import { lostTerm } from '../../src/models/terms/water-terms.ts';
import { typicalAir } from '../../src/models/usual-air.ts';
import { waterForecast } from '../../src/models/water-forecast.ts';
import { done, fitOf, machines, technicians } from './shop-under-test.ts';

const water = waterForecast(fitOf([]).models.water);
const said = { airC: 20, rhPercent: 50, aid: 'open-doors' } as const;

function rowsOf(...records: ReturnType<typeof done>[]) {
  const shop = viewOf(records);
  return dryingRowsOnWater(shop, dryingLayout(shop), water);
}

/** Tanks that tell it exactly; what they are off is in tanks.test.ts. */
function viewOf(records: readonly ReturnType<typeof done>[]) {
  return { ...shopView(records, technicians, machines, ruleTable()), tanks: { noise: 0, through: 6 } };
}

/** Fine readings elsewhere, so that the shop's reading step is 0.01 L. */
const fine = done('fine', {}, { sprayedLitres: 9.37, recoveredLitres: 7.12 });

describe('what drying checks tell', () => {
  it.each<[string, readonly DryingCheck[], number, number]>([
    ['between the last wet and the first dry', [wet(2), wet(4), dry(7), dry(9)], 4, 7],
    ['longer than the last wet one, where none was dry', [wet(2), wet(6)], 6, Number.POSITIVE_INFINITY],
    ['sooner than the first dry one, where none was wet', [dry(3)], 0, 3],
    ['in any order', [dry(7), wet(4)], 4, 7],
    [
      'anything, where it was wet at the end of the work and nobody looked again',
      [wet(0)],
      0,
      Number.POSITIVE_INFINITY,
    ],
    ['within six minutes, where it was dry at the end of the work', [dry(0)], 0, 0.1],
  ])('is hours %s', (_, checks, from, to) => {
    const { observations } = rowsOf(done('a', {}, { drying: { ...said, checks: [...checks] } }));
    expect(Math.exp(observations.lower[0])).toBeCloseTo(from, 10);
    expect(Math.exp(observations.upper[0])).toBeCloseTo(to, 10);
  });

  it.each<[string, readonly DryingCheck[], number, number]>([
    ['from a half of its hours on, where nothing but a dry look is noted', [dry(6)], 3, 6],
    ['any time before it, where a look at the end of the work is noted too', [wet(0), dry(6)], 0, 6],
    ['open, where that look is the only one', [wet(0)], 0, Number.POSITIVE_INFINITY],
  ])('is, of a shop that looks until it is dry, %s', (_, checks, from, to) => {
    const job = done('a', {}, { drying: { ...said, checks: [...checks] } });
    const dryAlone = [{ technician: job.labour[0].technician, from: job.finishedAt, until: null }];
    const shop = { ...viewOf([job]), looks: { wetUntil: 0.5, dryAlone } };
    const { observations } = dryingRowsOnWater(shop, dryingLayout(shop), water);
    expect(Math.exp(observations.lower[0])).toBeCloseTo(from, 10);
    expect(Math.exp(observations.upper[0])).toBeCloseTo(to, 10);
  });

  it('is left out with the reason where the checks contradict each other, or nothing was wetted', () => {
    const contradictory = done('a', {}, { drying: { ...said, checks: [wet(8), dry(7)] } });
    const vacuumed = done('b', { wetPasses: 0 }, { drying: { ...said, checks: [dry(1)] } });
    const { rows, leftOut } = rowsOf(contradictory, vacuumed);
    expect(rows.nRows).toBe(0);
    expect(leftOut.map(({ ref }) => ref)).toEqual(['a', 'b']);
  });

  it('is nothing without checks, and that is no doubt', () => {
    expect(rowsOf(done('a'))).toMatchObject({ used: 0, leftOut: [] });
  });
});

describe('the physical drying time of a record', () => {
  const checks = [wet(2), dry(6)];
  const job = (record: Parameters<typeof done>[2], section: Parameters<typeof done>[1] = {}) => {
    const { rows, observations } = rowsOf(done('a', section, { drying: { ...said, checks }, ...record }), fine);
    return toldBy(rows, observations);
  };
  const { logRate } = dryingRate(said, typicalAir);

  it('is the litres that were read over the evaporation, no more uncertain than a section against the mean of two', () => {
    const { offset, variance } = job({ sprayedLitres: 9.9, recoveredLitres: 8.25 });
    // 1.65 L on 3.3 m², by the rule of thumb a little of it lost on the way; the wettest of two sections with errors of 0.15 is 0.15/√π above their mean.
    expect(offset).toBeCloseTo(Math.log(0.5) - 0.06 * lostTerm(3.3) + 0.15 / Math.sqrt(Math.PI) - logRate, 2);
    expect(variance).toBeLessThan(0.15 ** 2);
  });

  it('is the water model’s forecast where none were read, open in its coefficients and in its error', () => {
    const { offset, variance, shared } = job({});
    expect(offset).toBeCloseTo(-1.05 + 0.15 / Math.sqrt(Math.PI) - logRate, 2);
    // Rules of thumb: intercept 0.25², technician 0.2², extractor 0.15² and sigma about 0.18² e^(2 · 0.4²), nearly.
    expect(variance + shared).toBeGreaterThan(0.15);
    expect(variance + shared).toBeLessThan(0.22);
    expect(shared).toBeGreaterThan(2 * variance);
  });

  it('is the same where what was read cannot be believed', () => {
    expect(job({ sprayedLitres: 5, recoveredLitres: 9 })).toEqual(job({}));
  });

  it('is in between where the tanks were read too coarsely to tell', () => {
    const shop = [done('b', {}, { sprayedLitres: 9, recoveredLitres: 7 })];
    const { rows, observations } = rowsOf(
      done('a', {}, { drying: { ...said, checks }, sprayedLitres: 9, recoveredLitres: 8 }),
      ...shop,
    );
    const read = job({ sprayedLitres: 9.9, recoveredLitres: 8.25 });
    const coarse = toldBy(rows, observations);
    const unread = job({});
    expect(coarse.variance).toBeGreaterThan(read.variance);
    expect(coarse.variance).toBeLessThan(unread.variance);
    expect(coarse.shared).toBeGreaterThan(read.shared);
    expect(coarse.shared).toBeLessThan(unread.shared);
  });

  it('is that of the wettest section: more passes there, more hours', () => {
    expect(job({}, { wetPasses: 4 }).offset - job({}).offset).toBeCloseTo(0.6 * Math.log(2), 2);
  });
});

/** Of the first row, the water at its expectation: its offset, its own variance, and what the water's coefficients leave open, which all rows share. */
function toldBy(rows: SparseRows, observations: Observations) {
  const open = new Float64Array(columnCount(water.layout));
  for (let k = rows.rowStart[0]; k < rows.rowStart[1]; k++)
    if (rows.column[k] < open.length) open[rows.column[k]] += rows.value[k];
  const sum = (values: Float64Array) => values.reduce((total, value, j) => total + value * open[j], 0);
  return {
    offset: observations.offset[0] + sum(water.mean),
    variance: observations.addedVariance?.[0] ?? 0,
    shared: sum(multiply(water.covariance, open.length, open)),
  };
}

function wet(hours: number): DryingCheck {
  return { hours, dry: false };
}

function dry(hours: number): DryingCheck {
  return { hours, dry: true };
}
