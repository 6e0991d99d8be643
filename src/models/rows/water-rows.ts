import type { Grade } from '../../domain/vocabulary.ts';
import { dryTerm, habitOf } from '../habits.ts';
import {
  beforeEntries,
  columnCount,
  type Entries,
  type Layout,
  machineColumn,
  predictorAt,
  technicianColumn,
} from '../layout.ts';
import { type ReadingOf, stepOfJob } from '../reading-steps.ts';
import { jobReadings, type LogInterval, logInterval, type WaterReading } from '../readings.ts';
import { ruleOf } from '../rule-table.ts';
import type { RuleOfThumb } from '../rules-of-thumb.ts';
import type { DoneJob, ShopView } from '../shop-view.ts';
import { logVariance } from '../tanks.ts';
import { termEntries, termIds } from '../terms/term.ts';
import { sectionErrorVariance, type WaterCase, waterTerms } from '../terms/water-terms.ts';
import { type DoneSection, isExtracted, totalSurfaceM2 } from '../work-section.ts';
import { collectRows, type ModelRows, type RecordRows } from './model-rows.ts';

export function waterLayout(shop: Pick<ShopView, 'technicians' | 'machines'>): Layout {
  return { terms: termIds(waterTerms), technicians: shop.technicians, machines: shop.machines };
}

/**
 * Whatever was measured as one: litres a square metre left in, in an interval of the shop's reading step. Sections that were read for themselves
 * share their job's error: the day, the extractor's state, who did it and how.
 */
export function waterRows(shop: ShopView, layout: Layout): ModelRows {
  const rows = collectRows('water', shop.jobs, columnCount(layout), (done) => rowsOf(shop, layout, done));
  return { ...rows, shareErrors: true };
}

/** Fixed terms and extractor of a section, times a weight; the technician comes beside them. */
export function waterEntries(layout: Layout, of: WaterCase, machine: string | null, weight = 1): Entries {
  const column = machine === null || !isExtracted(of.section) ? undefined : machineColumn(layout, machine);
  return [...termEntries(waterTerms, of, weight), ...(column === undefined ? [] : [[column, weight] as const])];
}

/**
 * The linear predictor of sections measured as one: each by its share of their surface.
 * @param as what was read of them, a job's tanks with what is lost on the way; absent: what stays in the cloth
 */
export function measuredEntries(
  shop: ShopView,
  layout: Layout,
  done: DoneJob,
  sections: readonly DoneSection[],
  as?: ReadingOf,
): Entries {
  const surfaceM2 = totalSurfaceM2(sections);
  const tanksOverM2 = as === 'job' ? surfaceM2 : undefined;
  const ofSections = sections.flatMap((section) => {
    const share = section.surfaceM2 / surfaceM2;
    return [
      ...done.extractors.flatMap((used) =>
        waterEntries(layout, waterCase(shop, section, used.grade, tanksOverM2), used.key, share * used.share),
      ),
      [technicianColumn(layout, section.technician), share] as const,
    ];
  });
  return [...ofSections, ...beforeEntries(layout, done.job.finishedAt)];
}

/**
 * By how much the logarithm of the sections' common mean lies above the mean of their logarithms: tanks hold the litres of all, while coefficients
 * add up on the log scale. Sections differ by cloth, passes and method; how far is taken from the rules of thumb, whose error here is of second order.
 */
export function meanGap(shop: ShopView, done: DoneJob, sections: readonly DoneSection[]): number {
  if (sections.length === 1) return 0;
  const surfaceM2 = totalSurfaceM2(sections);
  const levels = ruleLevels(shop, done, sections);
  const shares = sections.map((section) => section.surfaceM2 / surfaceM2);
  const ofLogs = levels.reduce((sum, level, s) => sum + shares[s] * level, 0);
  return Math.log(levels.reduce((sum, level, s) => sum + shares[s] * Math.exp(level - ofLogs), 0));
}

/** Beyond so many times a usual job's a reading is a slip more likely than so much water, and no excuse for itself. */
const mostThrough = 3;

/** Variance of a reading's log litres by what tanks are off beside their step; sections are read in a jug, which is not. */
export function tanksVariance(shop: ShopView, done: DoneJob, reading: WaterReading): number {
  if (reading.of === 'section') return 0;
  const { noise, through: usual } = shop.tanks;
  const through = Math.min(mostThrough * usual, throughOverLeft(shop, done, reading));
  return logVariance({ noise, through });
}

/** What went through the tanks over the litres that the rules of thumb expect to be left: by those told, a job that came dry by chance would count for less. */
export function throughOverLeft(shop: ShopView, done: DoneJob, { sections, throughLitres }: WaterReading): number {
  return throughLitres / litresByRule(shop, done, sections);
}

/** Litres left in sections, by the rules of thumb. */
function litresByRule(shop: ShopView, done: DoneJob, sections: readonly DoneSection[]): number {
  const levels = ruleLevels(shop, done, sections);
  return sections.reduce((sum, { surfaceM2 }, s) => sum + surfaceM2 * Math.exp(levels[s]), 0);
}

/** Log L/m² left in sections, by the rules of thumb. */
function ruleLevels(shop: ShopView, done: DoneJob, sections: readonly DoneSection[]): readonly number[] {
  const means = ruleMeans(shop.rules);
  return sections.map((section) =>
    predictorAt(
      means,
      done.extractors.flatMap(({ grade, share }) => termEntries(waterTerms, waterCase(shop, section, grade), share)),
    ),
  );
}

const meansByTable = new WeakMap<readonly RuleOfThumb[], Float64Array>();

/** The rules' means by term, looked up once a table: every record of a shop asks. */
function ruleMeans(rules: readonly RuleOfThumb[]): Float64Array {
  const means = meansByTable.get(rules) ?? Float64Array.from(waterTerms, ({ id }) => ruleOf(rules, 'water', id).mean);
  meansByTable.set(rules, means);
  return means;
}

/** Variance that the sections' own errors leave in their common mean. */
export function ownErrorVariance(
  { sectionSpread }: Pick<ShopView, 'sectionSpread'>,
  sections: readonly DoneSection[],
): number {
  const surfaceM2 = totalSurfaceM2(sections);
  return sections.reduce(
    (sum, section) => sum + sectionErrorVariance(section, sectionSpread) * (section.surfaceM2 / surfaceM2) ** 2,
    0,
  );
}

function rowsOf(shop: ShopView, layout: Layout, done: DoneJob): RecordRows {
  const found = jobReadings(done.job, done.sections);
  if ('doubt' in found) return { doubt: found.doubt };
  return {
    rows: toldBy(shop, done, found.readings).map(({ reading, lower, upper, variance = 0 }) => ({
      entries: measuredEntries(shop, layout, done, reading.sections, reading.of),
      lower,
      upper,
      offset: meanGap(shop, done, reading.sections),
      addedVariance: ownErrorVariance(shop, reading.sections) + tanksVariance(shop, done, reading) + variance,
    })),
  };
}

/** What a row is told by a reading: an interval of its step, or the litres as they were read with the variance of the step. */
interface Told extends LogInterval {
  readonly reading: WaterReading;
  readonly variance?: number;
}

/** More than all that is to be expected, and the logarithm of a reading has no error near a normal one. */
const widestStep = 1;

/**
 * Sections that were read one by one share their job's error, which takes rows without intervals; where their step is too coarse for that, or
 * nothing was left in one, they are read as their sum. How much of its litres a step is, is judged by what the rules expect of a section beside the
 * job's others: by those told, one that came dry by chance would count for less.
 */
function toldBy(shop: ShopView, done: DoneJob, readings: readonly WaterReading[]): readonly Told[] {
  const [first] = readings;
  if (first === undefined) return [];
  const stepL = stepOfJob(shop.readingSteps, done.job, first.of);
  if (readings.length === 1) return [{ reading: first, ...logInterval(first, stepL) }];
  const sum = sumOf(readings);
  const overRule = sum.litresLeft / litresByRule(shop, done, sum.sections);
  const parts = readings.map(({ sections }) => stepL / (overRule * litresByRule(shop, done, sections)));
  if (readings.some(({ litresLeft }, i) => litresLeft === 0 || parts[i] > widestStep))
    return [{ reading: sum, ...logInterval(sum, stepL * Math.sqrt(readings.length)) }];
  return readings.map((reading, i) => {
    const log = Math.log(reading.litresLeft / totalSurfaceM2(reading.sections));
    return { reading, lower: log, upper: log, variance: parts[i] ** 2 / 6 };
  });
}

function sumOf(readings: readonly WaterReading[]): WaterReading {
  return {
    of: readings[0].of,
    sections: readings.flatMap(({ sections }) => sections),
    litresLeft: readings.reduce((sum, { litresLeft }) => sum + litresLeft, 0),
    throughLitres: Math.hypot(...readings.map(({ throughLitres }) => throughLitres)),
  };
}

/** Dry passes that nobody wrote down are the technician's habit. */
function waterCase(shop: ShopView, section: DoneSection, grade: Grade, tanksOverM2?: number): WaterCase {
  const { dryPasses, wetPasses, technician } = section;
  const dry = dryPasses === undefined ? habitOf(shop.dryHabits, technician) : dryTerm(dryPasses, wetPasses);
  return { section, grade, wetPasses, dry, tanksOverM2 };
}
