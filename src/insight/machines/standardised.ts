import { clockHour } from '../../domain/zoned-time.ts';
import { normalProbability } from '../../inference/normal.ts';
import { drawCoefficients } from '../../inference/predict.ts';
import { normalStore } from '../../inference/random.ts';
import type { Posterior } from '../../inference/types.ts';
import { airCase, type DryingRate, dryingRate } from '../../models/drying-air.ts';
import type { MachineOption } from '../../models/estimate/planned-work.ts';
import { extractorEntries } from '../../models/estimate/predictor-parts.ts';
import { chanceOfGivingUp, type Stops, stopsOf } from '../../models/giving-up.ts';
import { dryTerm, habitOf } from '../../models/habits.ts';
import { type Entries, technicianColumn, termColumn, weighted } from '../../models/layout.ts';
import { clockHours } from '../../models/nights.ts';
import { dryingEntries } from '../../models/rows/drying-rows.ts';
import { labourEntries } from '../../models/rows/labour-rows.ts';
import { passesEntries } from '../../models/rows/passes-rows.ts';
import { waterEntries } from '../../models/rows/water-rows.ts';
import { secondPassChance } from '../../models/second-pass.ts';
import type { FittedModel, ShopFit } from '../../models/shop-fit.ts';
import type { DoneJob } from '../../models/shop-view.ts';
import { referenceLogWater } from '../../models/terms/drying-terms.ts';
import { extractedShare, passesTerm, referencePasses } from '../../models/terms/labour-terms.ts';
import { wetTerm } from '../../models/terms/water-terms.ts';
import { contentMinutes, workContent } from '../../models/work-content.ts';
import { type DoneSection, isExtracted, totalSurfaceM2 } from '../../models/work-section.ts';

/** What one extractor makes of the shop's mix of work: the mean over its jobs, one entry a posterior draw. */
export interface StandardisedWork {
  readonly passes: Float64Array;
  /** Person-hours a job. */
  readonly hours: Float64Array;
  /** L/m² left in the wettest section. */
  readonly waterLPerM2: Float64Array;
  /** Hours of drying a job. */
  readonly dryHours: Float64Array;
}

/** Posterior draws of every coefficient of every model, common to all extractors that are compared. */
interface CommonDraws {
  readonly nDraws: number;
  readonly passes: Coefficients;
  readonly labour: Coefficients;
  readonly water: Coefficients;
  readonly drying: Coefficients;
}

interface Coefficients {
  readonly model: FittedModel;
  /** Draw d of column j at j · nDraws + d. */
  readonly values: Float64Array;
  readonly sigma: Float64Array;
}

const normals = normalStore();
const seeds = { passes: 81, labour: 82, water: 83, drying: 84 } as const;
const mostPasses = 12;
const ordinary = { grade: 'standard' } as const;

export function commonDraws({ models, dryingGivenWater }: ShopFit, nDraws: number): CommonDraws {
  const names = Object.keys(seeds);
  const drawn = (name: keyof typeof seeds, posterior: Posterior): Coefficients => {
    const count = nDraws * posterior.nColumns;
    const shift = Math.floor((names.indexOf(name) * nDraws) / names.length);
    const { coefficients, sigma } = drawCoefficients(posterior, normals(seeds[name], count), nDraws, shift);
    return { model: models[name], values: coefficients, sigma };
  };
  const water = drawn('water', models.water.posterior);
  const drying = drawn('drying', dryingGivenWater.rest);
  addOnWater(drying.values, dryingGivenWater.onWater, water.values, nDraws);
  const passes = drawn('passes', models.passes.posterior);
  const labour = drawn('labour', models.labour.posterior);
  return { nDraws, passes, labour, water, drying };
}

/** The drying coefficients of each draw go with the water coefficients of the same. */
function addOnWater(drying: Float64Array, onWater: Float64Array, water: Float64Array, nDraws: number): void {
  const nWater = water.length / nDraws;
  onWater.forEach((slope, k) => {
    const to = Math.floor(k / nWater) * nDraws;
    const from = (k % nWater) * nDraws;
    if (slope !== 0) for (let d = 0; d < nDraws; d++) drying[to + d] += slope * water[from + d];
  });
}

/**
 * Standardisation (g-computation): each job of the mix as if it had been done with this extractor, by the people who did it, averaged.
 * Passes are expectations within a draw, and hours, water and drying follow from them: both sides of a comparison are treated alike.
 * **Source** J. M. Robins 1986; Hernán and Robins, Causal Inference: What If, chapter 13.
 */
export function standardisedWork(
  fit: ShopFit,
  mix: readonly DoneJob[],
  machine: MachineOption,
  draws: CommonDraws,
): StandardisedWork {
  const sum = (): Float64Array => new Float64Array(draws.nDraws);
  const total = { passes: sum(), hours: sum(), waterLPerM2: sum(), dryHours: sum() };
  for (const done of mix) addJob(total, fit, done, machine, draws);
  const mean = (values: Float64Array) => values.map((value) => value / mix.length);
  return {
    passes: mean(total.passes),
    hours: mean(total.hours),
    waterLPerM2: mean(total.waterLPerM2),
    dryHours: mean(total.dryHours),
  };
}

function addJob(
  total: StandardisedWork,
  fit: ShopFit,
  done: DoneJob,
  machine: MachineOption,
  draws: CommonDraws,
): void {
  const { sections } = done;
  const { nDraws } = draws;
  const surfaceM2 = totalSurfaceM2(sections);
  const passes = sections.map((section) => sectionPasses(fit, section, machine, draws));
  const meanPasses = new Float64Array(nDraws);
  sections.forEach((section, s) => {
    for (let d = 0; d < nDraws; d++) meanPasses[d] += (section.surfaceM2 / surfaceM2) * passes[s][d];
  });
  const hours = jobHours(done, machine, draws, passes, meanPasses);
  const logWater = sections.map((section, s) => sectionWater(fit, section, machine, draws, passes[s]));
  const rate = dryingRate(done.job.drying ?? {}, fit.usualAir);
  const dry = sections.map((section) => dryingEffect(done, section, rate, draws));
  const from = clockHour(new Date(done.job.finishedAt), fit.nights.timeZone);
  const slope = coefficient(draws.drying, nDraws, 'lwater');
  for (let d = 0; d < nDraws; d++) {
    let wettest = Number.NEGATIVE_INFINITY;
    let slowest = Number.NEGATIVE_INFINITY;
    for (let s = 0; s < sections.length; s++) {
      wettest = Math.max(wettest, logWater[s][d]);
      slowest = Math.max(slowest, logWater[s][d] + slope[d] * (logWater[s][d] - referenceLogWater) + dry[s][d]);
    }
    total.passes[d] += meanPasses[d];
    total.hours[d] += hours[d];
    total.waterLPerM2[d] += Math.exp(wettest);
    total.dryHours[d] += clockHours(fit.nights, from, Math.exp(slowest - rate.logRate));
  }
}

/** Expected passes made in each draw: Σ over k of P(more than k needed) × P(not given up by then), and a second one made to be safe. */
function sectionPasses(
  fit: ShopFit,
  section: DoneSection,
  machine: MachineOption,
  { passes, nDraws }: CommonDraws,
): Float64Array {
  const { layout } = passes.model;
  const lasting = lastingShares(stopsOf(fit.givingUp, section.technician));
  const eta = predictor(passes, nDraws, [
    ...passesEntries(layout, { section, ...ordinary }, null),
    [technicianColumn(layout, section.technician), 1],
    ...(isExtracted(section) ? extractorEntries(layout, machine) : []),
  ]);
  const toBeSafe = secondPassChance(fit.secondPasses, section, section.technician);
  return eta.map((effort, d) => {
    let expected = 1 + toBeSafe * normalProbability(-effort / passes.sigma[d]);
    for (let k = 1; k < mostPasses; k++) {
      const more = normalProbability((effort - Math.log(k)) / passes.sigma[d]);
      if (more < 1e-6) break;
      expected += more * lasting[k];
    }
    return expected;
  });
}

/** Chance that work has not been given up after each of the first k passes. */
function lastingShares(stops: Stops): Float64Array {
  const shares = new Float64Array(mostPasses + 1).fill(1);
  for (let k = 1; k <= mostPasses; k++) shares[k] = shares[k - 1] * (1 - chanceOfGivingUp(stops, k));
  return shares;
}

function jobHours(
  { job, sections }: DoneJob,
  machine: MachineOption,
  { labour, nDraws }: CommonDraws,
  passes: readonly Float64Array[],
  meanPasses: Float64Array,
): Float64Array {
  const { layout } = labour.model;
  const crew = job.labour.filter(({ minutes }) => minutes > 0);
  const minutes = crew.reduce((sum, one) => sum + one.minutes, 0);
  const of = { ...job, sections, meanPasses: referencePasses, crew: crew.length, ...ordinary };
  const share = extractedShare({ sections });
  const eta = predictor(labour, nDraws, [
    ...labourEntries(layout, of, null),
    ...crew.map((one) => [technicianColumn(layout, one.technician), one.minutes / minutes] as const),
    ...weighted(extractorEntries(layout, machine), share),
  ]);
  const slope = coefficient(labour, nDraws, 'lpass');
  const content = workContent(sections, job.seatsRemoved);
  const made = new Float64Array(sections.length);
  return eta.map((effect, d) => {
    for (let s = 0; s < made.length; s++) made[s] = passes[s][d];
    return (contentMinutes(content, made) / 60) * Math.exp(effect + slope[d] * passesTerm(meanPasses[d]));
  });
}

function sectionWater(
  fit: ShopFit,
  section: DoneSection,
  machine: MachineOption,
  { water, nDraws }: CommonDraws,
  passes: Float64Array,
): Float64Array {
  const { layout } = water.model;
  const { dryPasses, wetPasses, technician } = section;
  const dry =
    dryPasses === undefined || wetPasses === 0 ? habitOf(fit.dryHabits, technician) : dryTerm(dryPasses, wetPasses);
  const eta = predictor(water, nDraws, [
    ...waterEntries(layout, { section, wetPasses: 2, dry, ...ordinary }, null),
    [technicianColumn(layout, technician), 1],
    ...(isExtracted(section) ? extractorEntries(layout, machine) : []),
  ]);
  const slope = coefficient(water, nDraws, 'lwet');
  return eta.map((effect, d) => effect + slope[d] * wetTerm(passes[d]));
}

function dryingEffect(
  { job }: DoneJob,
  section: DoneSection,
  rate: DryingRate,
  { drying, nDraws }: CommonDraws,
): Float64Array {
  const { layout } = drying.model;
  const at = new Date(job.finishedAt);
  return predictor(drying, nDraws, [
    ...dryingEntries({ ...section, ...airCase(job.drying ?? {}, rate), at }),
    [technicianColumn(layout, section.technician), 1],
  ]);
}

/** One term's coefficient, an entry a draw. */
function coefficient({ model, values }: Coefficients, nDraws: number, term: string): Float64Array {
  const column = termColumn(model.layout, term);
  return values.subarray(column * nDraws, (column + 1) * nDraws);
}

function predictor({ values }: Coefficients, nDraws: number, entries: Entries): Float64Array {
  const eta = new Float64Array(nDraws);
  for (const [column, weight] of entries) {
    const from = column * nDraws;
    for (let d = 0; d < nDraws; d++) eta[d] += weight * values[from + d];
  }
  return eta;
}
