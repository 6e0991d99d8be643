import type { DryingCheck, FinishedJob } from '../../domain/record.ts';
import { clockHour } from '../../domain/zoned-time.ts';
import { hasWetLook } from '../dry-alone.ts';
import { airCase, dryingRate } from '../drying-air.ts';
import { expectedMax, type Moments } from '../expected-max.ts';
import {
  beforeEntries,
  columnCount,
  type Entries,
  type Layout,
  technicianColumn,
  termColumn,
  weighted,
} from '../layout.ts';
import { wetBefore } from '../looks.ts';
import { clockHours, dayHours } from '../nights.ts';
import { stepOfJob } from '../reading-steps.ts';
import { jobReadings, logInterval, type WaterReading } from '../readings.ts';
import type { DoneJob, ShopView } from '../shop-view.ts';
import { type DryingCase, dryingTerms, referenceLogWater } from '../terms/drying-terms.ts';
import { termEntries, termIds } from '../terms/term.ts';
import { sectionErrorVariance } from '../terms/water-terms.ts';
import { truncatedNormal } from '../truncated-normal.ts';
import type { WaterForecast } from '../water-forecast.ts';
import type { DoneSection } from '../work-section.ts';
import { collectRows, type ModelRows, type RecordRows } from './model-rows.ts';
import { meanGap, measuredEntries, ownErrorVariance, tanksVariance } from './water-rows.ts';

/** A reading at or before the end of the work is one within these hours: log 0 is no time. */
export const soonestHours = 0.1;

export function dryingLayout(shop: Pick<ShopView, 'technicians'>): Layout {
  return { terms: termIds(dryingTerms), technicians: shop.technicians, machines: undefined };
}

/** Every job with drying checks: hours until dry, between the last wet check and the first dry one, over the physical drying time. */
export function dryingRows(
  shop: ShopView,
  layout: Layout,
  water: WaterForecast,
  checked: CheckedJobs = checkedJobs(shop, layout, water),
): ModelRows {
  return collectRows('drying', shop.jobs, columnCount(layout), (done) => rowsOf(shop, layout, done, checked(done)));
}

/**
 * The same with the water model's coefficients as terms before those of the layout: rows that hang on the same of them then say so, and the
 * checks tell of the water what the tanks left open.
 */
export function dryingRowsOnWater(
  shop: ShopView,
  layout: Layout,
  water: WaterForecast,
  checked: CheckedJobs = checkedJobs(shop, layout, water),
): ModelRows {
  const nWater = columnCount(water.layout);
  const onWater = ({ entries, water: open, offset, ...rest }: DryingPredictor): DryingPredictor => ({
    ...rest,
    water: open,
    entries: [...open, ...entries.map(([column, value]) => [nWater + column, value] as const)],
    offset: offset - water.expected(open),
  });
  return collectRows('drying', shop.jobs, nWater + columnCount(layout), (done) =>
    rowsOf(shop, layout, done, checked(done), onWater),
  );
}

export function dryingEntries(of: DryingCase): Entries {
  return termEntries(dryingTerms, of);
}

/** What a job's checks tell; undefined where it was not checked. */
export type CheckedJobs = (done: DoneJob) => CheckedJob | { readonly doubt: string } | undefined;

interface CheckedJob {
  readonly predictor: DryingPredictor;
  /** Hours on the clock of the last wet check and of the first dry one. */
  readonly wetAt: number;
  readonly dryAt: number;
  /** No check found it wet, not even at the end of the work. */
  readonly onlyDry: boolean;
  /** Hour of the shop's clock at which the work ended. */
  readonly from: number;
}

/** Works a job out once, however often it is asked for: nothing of it hangs on the nights, or on the shop's other jobs. */
export function checkedJobs(shop: ShopView, layout: Layout, water: WaterForecast): CheckedJobs {
  const known = new Map<DoneJob, ReturnType<CheckedJobs>>();
  return (done) => {
    if (!known.has(done)) known.set(done, checkedJob(shop, layout, water, done));
    return known.get(done);
  };
}

/** Hours of the look that found a job dry, where that is all that was noted. */
export function onlyDryHours(checked: ReturnType<CheckedJobs>): number | undefined {
  return checked !== undefined && 'predictor' in checked && checked.onlyDry ? checked.dryAt : undefined;
}

function checkedJob(shop: ShopView, layout: Layout, water: WaterForecast, done: DoneJob): ReturnType<CheckedJobs> {
  const checks = done.job.drying?.checks ?? [];
  if (checks.length === 0) return undefined;
  const predictor = dryingPredictor(shop, layout, water, done);
  if (predictor === undefined) return { doubt: 'drying was checked, but nothing was wetted' };
  const { wetAt, dryAt } = window(checks);
  if (wetAt >= dryAt) return { doubt: 'wet at or after the check that found it dry' };
  const onlyDry = !hasWetLook(done.job);
  return { predictor, wetAt, dryAt, onlyDry, from: clockHour(finished(done.job), shop.nights.timeZone) };
}

function rowsOf(
  { nights, looks }: Pick<ShopView, 'nights' | 'looks'>,
  layout: Layout,
  { job }: DoneJob,
  checked: ReturnType<CheckedJobs>,
  asRow = (predictor: DryingPredictor) => predictor,
): RecordRows {
  if (checked === undefined || 'doubt' in checked) return checked;
  const { predictor, wetAt, dryAt, onlyDry, from } = checked;
  const guessed = onlyDry ? wetBefore(looks, job, dryAt) : 0;
  const own = guessed > 0 ? [[termColumn(layout, 'looked'), 1] as const] : [];
  const { entries, offset, addedVariance } = asRow({ ...predictor, entries: [...predictor.entries, ...own] });
  const logHours = (hours: number) => Math.log(dayHours(nights, from, hours));
  const shown = (hoursOfDay: number) => clockHours(nights, from, hoursOfDay);
  const lower = logHours(Math.max(wetAt, guessed));
  return { rows: [{ entries, lower, upper: logHours(dryAt), offset, addedVariance, shown }] };
}

/** What the drying model expects of a job. */
export interface DryingPredictor {
  readonly wettest: DoneSection;
  readonly entries: Entries;
  /** In the water model's columns: how the job's log litres move with its coefficients, from their means. */
  readonly water: Entries;
  /** At those means: log litres over the evaporation. */
  readonly offset: number;
  /** Beside the coefficients and sigma². */
  readonly addedVariance: number;
  /** The part of it that the air left unsaid makes. */
  readonly airVariance: number;
}

/** For a job checked or not, by its wettest section; undefined where nothing was wetted. */
export function dryingPredictor(
  shop: ShopView,
  layout: Layout,
  water: WaterForecast,
  done: DoneJob,
): DryingPredictor | undefined {
  const { job, sections } = done;
  const wetted = sections.filter(({ wetPasses }) => wetPasses > 0);
  if (wetted.length === 0) return undefined;
  const { wettest, logLitres } = waterOfWettest(shop, water, done, wetted);
  const rate = dryingRate(job.drying ?? {}, shop.usualAir);
  return {
    wettest,
    entries: [
      ...dryingEntries({
        fabric: wettest.fabric,
        leftIn: wettest.leftIn,
        ...airCase(job.drying ?? {}, rate),
        at: finished(job),
        logWater: water.expected(measuredEntries(shop, water.layout, done, [wettest])) - referenceLogWater,
      }),
      [technicianColumn(layout, wettest.technician), 1],
      ...beforeEntries(layout, job.finishedAt),
    ],
    water: logLitres.entries,
    offset: logLitres.mean - rate.logRate,
    addedVariance: logLitres.variance + rate.addedVariance,
    airVariance: rate.addedVariance,
  };
}

/** Hours on the clock of the last wet check and of the first dry one. */
function window(checks: readonly DryingCheck[]): { readonly wetAt: number; readonly dryAt: number } {
  const hours = (dry: boolean) => checks.filter((check) => check.dry === dry).map((check) => check.hours);
  return { wetAt: Math.max(0, ...hours(false)), dryAt: Math.max(soonestHours, Math.min(...hours(true))) };
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
    logLitres: {
      mean: largest.mean,
      variance: Math.max(0, largest.variance + first.sharedVariance),
      entries: first.entries,
    },
  };
}

/**
 * One section's log litres given the water model's coefficients. What was read moves with them only by the part of its variance that the
 * reading left: the derivative of a truncated normal's mean by the forecast's is the ratio of their variances.
 */
function sectionLevel(
  shop: ShopView,
  water: WaterForecast,
  done: DoneJob,
  section: DoneSection,
  readings: readonly WaterReading[],
) {
  const reading = readings.find(({ sections }) => sections.includes(section));
  const alone = measuredEntries(shop, water.layout, done, [section]);
  const mean = water.expected(alone);
  if (reading === undefined)
    return {
      section,
      mean,
      entries: alone,
      sharedVariance: water.meanSigma2,
      ownVariance: sectionErrorVariance(section, shop.sectionSpread),
    };
  const together = measuredEntries(shop, water.layout, done, reading.sections, reading.of);
  const own = ownErrorVariance(shop, reading.sections);
  const expected = water.expected(together) + meanGap(shop, done, reading.sections);
  const forecast = { mean: expected, variance: water.meanSigma2 + own };
  const { lower, upper } = logInterval(reading, stepOfJob(shop.readingSteps, done.job, reading.of));
  const read = readThrough(forecast, tanksVariance(shop, done, reading), lower, upper);
  const isAlone = reading.sections.length === 1;
  return {
    section,
    mean: read.mean + mean - forecast.mean,
    entries: [...alone, ...weighted(together, read.variance / forecast.variance - 1)],
    // The sections' own errors are in their mean too: what was read of it is not to be added to them once more.
    sharedVariance: isAlone ? read.variance : read.variance - own,
    ownVariance: isAlone ? 0 : sectionErrorVariance(section, shop.sectionSpread),
  };
}

/** What a normal becomes once a reading of it is seen, which is off by an error of that variance and known to an interval. */
function readThrough({ mean, variance }: Moments, noise: number, lower: number, upper: number): Moments {
  const told = truncatedNormal({ mean, variance: variance + noise }, lower, upper);
  const part = variance / (variance + noise);
  return { mean: mean + part * (told.mean - mean), variance: part * noise + part ** 2 * told.variance };
}

/** Litres that nobody can believe are as if not measured. */
function readingsOf({ job, sections }: DoneJob): readonly WaterReading[] {
  return jobReadings(job, sections).readings;
}

function finished(job: FinishedJob): Date {
  return new Date(job.finishedAt);
}
