import { describe, expect, it } from 'vitest';
import type { PlannedJob } from '../../src/domain/planned.ts';
import { quantiles } from '../../src/inference/quantile.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { type JobDraws, simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { context, fitOf, seats } from '../models/shop-under-test.ts';

const fit = fitOf([]);
const nDraws = 20_000;
const air = { aid: 'open-doors', airC: 20, rhPercent: 50 } as const;
const twoDry = { dryPasses: 2 };

/** A sedan's front and rear seats, taken out and extracted, two dry passes each, doors open at 20 °C and 50 %; changed as the name says. */
const jobs: Readonly<Record<string, PlannedJob>> = {
  moderate: seats(twoDry),
  'high grade': seats(twoDry, { extractor: 'high-one' }),
  entry: seats(twoDry, { extractor: 'entry-one' }),
  spot: seats({ method: 'spot' }),
  light: seats({ ...twoDry, soil: 'light' }),
  heavy: seats({ ...twoDry, soil: 'heavy' }),
  severe: seats({ ...twoDry, soil: 'severe' }),
  'seats in': seats(twoDry, { seatsRemoved: false }),
  'half as much more': larger(seats(twoDry)),
  fan: seats(twoDry, { drying: { ...air, aid: 'fan' } }),
  'still air': seats(twoDry, { drying: { ...air, aid: 'still-air' } }),
  '28 °C': seats(twoDry, { drying: { ...air, airC: 28 } }),
  '35 %': seats(twoDry, { drying: { ...air, rhPercent: 35 } }),
  'four dry passes': seats({ dryPasses: 4 }),
};

/** Chance of 1, 2, 3 and 4 or more passes made, their mean; then p10, p50 and p90 of hours, L/m² over the job, hours until dry. */
type Row = readonly [
  name: string,
  chances: readonly number[] | null,
  mean: number | null,
  hours: readonly number[] | null,
  litres: readonly number[] | null,
  dry: readonly number[] | null,
];

/**
 * Plain Monte Carlo in NumPy 2.4.6, 2,000,000 draws: tests/references/rules-of-thumb.py.
 * Tolerance: five standard errors of a chance; 1.5 % of hours and 2.5 % of litres and drying hours, some five standard errors of a quantile
 * of 20,000 draws on their log scales, and what 64 points instead of a continuum of spreads leave.
 */
const byNumpy: readonly Row[] = [
  [
    'moderate',
    [0.2498, 0.5463, 0.1551, 0.0488],
    2.02,
    [2.8281, 3.4654, 4.2769],
    [0.1759, 0.3363, 0.6266],
    [2.5855, 6.3424, 15.53],
  ],
  [
    'high grade',
    [0.4887, 0.4256, 0.0681, 0.0176],
    1.62,
    [2.55, 3.1695, 3.9557],
    [0.1032, 0.2081, 0.4103],
    [1.4927, 3.9831, 10.0766],
  ],
  [
    'entry',
    [0.1617, 0.5011, 0.2333, 0.104],
    2.321,
    [2.9689, 3.7187, 4.7143],
    [0.238, 0.467, 0.9025],
    [3.4983, 8.6886, 22.2732],
  ],
  [
    'spot',
    [0.4895, 0.4206, 0.0711, 0.0189],
    1.626,
    [1.9461, 2.5454, 3.3308],
    [0.0516, 0.1056, 0.215],
    [0.7222, 2.0328, 5.305],
  ],
  [
    'light',
    [0.7058, 0.2574, 0.0295, 0.0072],
    1.34,
    [2.3796, 2.9721, 3.7375],
    [0.1206, 0.2314, 0.4496],
    [1.6707, 4.3207, 11.0127],
  ],
  [
    'heavy',
    [0.082, 0.3906, 0.3091, 0.2183],
    2.771,
    [3.1537, 4.025, 5.217],
    [0.228, 0.4301, 0.8095],
    [3.2912, 7.9837, 19.9399],
  ],
  [
    'severe',
    [0.0411, 0.2407, 0.3082, 0.41],
    3.371,
    [3.4309, 4.5626, 6.1449],
    [0.2632, 0.4976, 0.9461],
    [3.7693, 9.1632, 23.229],
  ],
  ['seats in', null, null, [1.7472, 2.2981, 3.0424], [0.1759, 0.3363, 0.6258], [2.7995, 7.0037, 17.5083]],
  ['half as much more', null, null, [3.4209, 4.2544, 5.3352], null, null],
  ['fan', null, null, null, null, [1.4546, 3.6962, 9.3752]],
  ['still air', null, null, null, null, [3.2815, 7.8774, 18.8229]],
  ['28 °C', null, null, null, null, [2.0911, 5.1637, 12.6769]],
  ['35 %', null, null, null, null, [1.8991, 4.7013, 11.6045]],
  ['four dry passes', null, null, null, [0.1279, 0.2692, 0.524], [1.987, 5.2232, 13.0981]],
];

describe('reference: the rules of thumb by plain Monte Carlo in NumPy', () => {
  it.each(byNumpy)('%s', (name, chances, mean, hours, litres, dry) => {
    const draws = drawsOf(name);
    expectPasses(draws, chances, mean, 0);
    expectQuantiles(draws.labourHours, hours, 0, 0.015);
    expectQuantiles(draws.extractedLPerM2, litres, 0, 0.025);
    expectQuantiles(draws.dryHours, dry, 0, 0.025);
  });
});

/**
 * The table that the rules were tuned with, printed by a prototype from 20,000 draws of its own.
 * Tolerance: half a step of the printed digit, and as above with both sides drawing 20,000 (one standard error of a p90 of drying hours is
 * 0.9 % on each side). Known differences: its p90 of the seats left in is 1.6 % above NumPy's: 2 %. Its drying hours lie 2 to 3 % higher
 * throughout, as an approximate wet bulb 0.1 °C lower would make them (the likely cause); with the sampling error 7 %.
 */
const printed: readonly Row[] = [
  ['moderate', [0.25, 0.543, 0.158, 0.05], 2.02, [2.83, 3.47, 4.28], [0.18, 0.34, 0.64], [2.6, 6.5, 15.8]],
  ['high grade', [0.486, 0.427, 0.069, 0.018], 1.62, [2.56, 3.17, 3.95], [0.11, 0.21, 0.41], [1.6, 4.0, 10.4]],
  ['entry', [0.161, 0.498, 0.235, 0.107], 2.33, [2.98, 3.72, 4.7], [0.24, 0.48, 0.91], [3.6, 9.0, 22.7]],
  ['spot', [0.489, 0.42, 0.072, 0.019], 1.63, [1.94, 2.54, 3.33], [0.05, 0.11, 0.21], [0.8, 2.0, 5.1]],
  ['light', [0.702, 0.26, 0.03, 0.007], 1.34, [2.38, 2.97, 3.74], [0.12, 0.23, 0.45], [1.8, 4.4, 11.3]],
  ['heavy', [0.082, 0.388, 0.308, 0.222], 2.78, [3.18, 4.03, 5.21], [0.23, 0.44, 0.83], [3.4, 8.2, 20.4]],
  ['severe', [0.041, 0.24, 0.306, 0.412], 3.38, [3.44, 4.57, 6.17], [0.27, 0.5, 0.96], [3.9, 9.5, 23.8]],
  ['seats in', null, null, [1.74, 2.31, 3.08], null, null],
  ['half as much more', null, null, [3.43, 4.25, 5.34], null, null],
  ['fan', null, null, null, null, [1.5, 3.8, 9.4]],
  ['still air', null, null, null, null, [3.4, 8.1, 19.2]],
  ['28 °C', null, null, null, null, [2.1, 5.3, 12.9]],
  ['35 %', null, null, null, null, [1.9, 4.8, 11.7]],
  ['four dry passes', null, null, null, [0.13, 0.27, 0.53], [2.0, 5.3, 13.4]],
];

describe('reference: the rules of thumb as a prototype printed them', () => {
  it.each(printed)('%s', (name, chances, mean, hours, litres, dry) => {
    const draws = drawsOf(name);
    expectPasses(draws, chances, mean, 0.0005);
    expectQuantiles(draws.labourHours, hours, 0.005, 0.02);
    expectQuantiles(draws.extractedLPerM2, litres, 0.005, 0.03);
    expectQuantiles(draws.dryHours, dry, 0.05, 0.07);
  });
});

function larger(job: PlannedJob): PlannedJob {
  const sections = job.sections.map((section, s) => ({ ...section, surfaceM2: 1.5 * [1.6, 1.7][s] }));
  return { ...job, sections };
}

function drawsOf(name: string): JobDraws {
  return simulateJob(fit, plannedWork(fit, jobs[name], context), nDraws);
}

function expectPasses(
  { passes }: JobDraws,
  chances: readonly number[] | null,
  mean: number | null,
  rounding: number,
): void {
  const { made } = passes[0];
  chances?.forEach((chance, i) => {
    const counted = made.filter((n) => Math.min(n, 4) === i + 1).length / nDraws;
    expect(Math.abs(counted - chance)).toBeLessThan(rounding + 5 * Math.sqrt((chance * (1 - chance)) / nDraws));
  });
  if (mean !== null) expect(Math.abs(made.reduce((sum, n) => sum + n, 0) / nDraws / mean - 1)).toBeLessThan(0.01);
}

function expectQuantiles(
  draws: Float64Array,
  told: readonly number[] | null,
  rounding: number,
  relative: number,
): void {
  if (told === null) return;
  quantiles(draws, [0.1, 0.5, 0.9]).forEach((value, i) => {
    expect(Math.abs(value - told[i])).toBeLessThan(rounding + relative * told[i]);
  });
}
