import type { DryingCheck, FinishedJob } from '../../domain/record.ts';
import { dryingRate } from '../drying-air.ts';
import { expectedMax, type Moments } from '../expected-max.ts';
import { columnCount, type Entries, type Layout, technicianColumn } from '../layout.ts';
import { jobReadings, logInterval, type WaterReading } from '../readings.ts';
import type { DoneJob, ShopView } from '../shop-view.ts';
import { type DryingCase, dryingTerms } from '../terms/drying-terms.ts';
import { termEntries, termIds } from '../terms/term.ts';
import { sectionErrorVariance } from '../terms/water-terms.ts';
import { truncatedNormal } from '../truncated-normal.ts';
import type { DoneSection } from '../work-section.ts';
import { collectRows, type ModelRows, type RecordRows } from './model-rows.ts';
import { measuredEntries, ownErrorVariance } from './water-rows.ts';

/** The fitted water model as the drying model asks it: the moments of a linear predictor, and the mean of sigma². */
export interface WaterForecast {
  readonly layout: Layout;
  readonly moments: (entries: Entries) => Moments;
  readonly meanSigma2: number;
}

/** A reading at or before the end of the work is one within these hours: log 0 is no time. */
const soonestHours = 0.1;

export function dryingLayout(shop: Pick<ShopView, 'technicians'>): Layout {
  return { terms: termIds(dryingTerms), technicians: shop.technicians, machines: undefined };
}

/** Every job with drying checks: hours until dry, between the last wet check and the first dry one, over the physical drying time. */
export function dryingRows(shop: ShopView, layout: Layout, water: WaterForecast): ModelRows {
  return collectRows('drying', shop.jobs, columnCount(layout), (done) => rowOf(shop, layout, water, done));
}

export function dryingEntries(of: DryingCase): Entries {
  return termEntries(dryingTerms, of);
}

function rowOf(shop: ShopView, layout: Layout, water: WaterForecast, done: DoneJob): RecordRows {
  const { job } = done;
  const checks = job.drying?.checks ?? [];
  if (checks.length === 0) return undefined;
  const predictor = dryingPredictor(shop, layout, water, done);
  if (predictor === undefined) return { doubt: 'drying was checked, but nothing was wetted' };
  const { lower, upper } = window(checks);
  if (lower >= upper) return { doubt: 'wet at or after the check that found it dry' };
  const { entries, offset, addedVariance } = predictor;
  return { rows: [{ entries, lower, upper, offset, addedVariance }] };
}

/** What the drying model expects of a job, checked or not, by its wettest section; undefined where nothing was wetted. */
export function dryingPredictor(shop: ShopView, layout: Layout, water: WaterForecast, done: DoneJob) {
  const { job, sections } = done;
  const wetted = sections.filter(({ wetPasses }) => wetPasses > 0);
  if (wetted.length === 0) return undefined;
  const { wettest, logLitres } = waterOfWettest(shop, water, done, wetted);
  const rate = dryingRate(job.drying ?? {});
  const entries: Entries = [
    ...dryingEntries({ fabric: wettest.fabric, aid: job.drying?.aid, at: finished(job) }),
    [technicianColumn(layout, wettest.technician), 1],
  ];
  return {
    wettest,
    entries,
    offset: logLitres.mean - rate.logRate,
    addedVariance: logLitres.variance + rate.addedVariance,
    airVariance: rate.addedVariance,
  };
}

/** Log hours of the last wet check and of the first dry one. */
function window(checks: readonly DryingCheck[]): { readonly lower: number; readonly upper: number } {
  const hours = (dry: boolean) => checks.filter((check) => check.dry === dry).map((check) => check.hours);
  const dryAt = Math.max(soonestHours, Math.min(...hours(true)));
  return { lower: Math.log(Math.max(0, ...hours(false))), upper: Math.log(dryAt) };
}

/**
 * Log L/m² of the wettest section and its variance: the water model's forecast of what was measured as one, narrowed by what was read
 * there, then each section's own place within it. A forecast draws every section with an error of its own and dries the wettest;
 * the mean here is that of the largest too, else forecasts for many sections would come out too slow.
 */
function waterOfWettest(shop: ShopView, water: WaterForecast, done: DoneJob, wetted: readonly DoneSection[]) {
  const levels = wetted.map((section) => sectionLevel(shop, water, done, section, readingsOf(done)));
  const largest = expectedMax(levels.map(({ mean, ownVariance }) => ({ mean, variance: ownVariance })));
  const first = levels.reduce((wettest, level) => (level.mean > wettest.mean ? level : wettest));
  return {
    wettest: first.section,
    logLitres: { mean: largest.mean, variance: largest.variance + first.sharedVariance },
  };
}

function sectionLevel(
  shop: ShopView,
  water: WaterForecast,
  done: DoneJob,
  section: DoneSection,
  readings: readonly WaterReading[],
) {
  const reading = readings.find(({ sections }) => sections.includes(section));
  const alone = water.moments(measuredEntries(shop, water.layout, done, [section]));
  if (reading === undefined)
    return {
      section,
      mean: alone.mean,
      sharedVariance: alone.variance + water.meanSigma2,
      ownVariance: sectionErrorVariance,
    };
  const together = water.moments(measuredEntries(shop, water.layout, done, reading.sections));
  const own = ownErrorVariance(reading.sections);
  const forecast = { mean: together.mean, variance: together.variance + water.meanSigma2 + own };
  const { lower, upper } = logInterval(reading, shop.readingStepL);
  const read = truncatedNormal(forecast, lower, upper);
  const isAlone = reading.sections.length === 1;
  return {
    section,
    mean: read.mean + alone.mean - together.mean,
    sharedVariance: read.variance,
    ownVariance: isAlone ? 0 : sectionErrorVariance,
  };
}

/** Litres that nobody can believe are as if not measured. */
function readingsOf({ job, sections }: DoneJob): readonly WaterReading[] {
  return jobReadings(job, sections).readings;
}

function finished(job: FinishedJob): Date {
  return new Date(job.finishedAt);
}
