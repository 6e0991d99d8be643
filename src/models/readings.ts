import type { FinishedJob } from '../domain/record.ts';
import { litresPerUsGallon } from '../domain/units.ts';
import { type DoneSection, isExtracted, totalSurfaceM2 } from './work-section.ts';

/** What was measured as one: the sections that share it and the litres left in them. */
export interface WaterReading {
  readonly sections: readonly DoneSection[];
  readonly litresLeft: number;
}

/** The readings of one job, or why none of its litres can be believed. */
export type JobReadings =
  | { readonly readings: readonly WaterReading[] }
  | { readonly readings: readonly []; readonly doubt: string };

/** Bounds of log L/m²; equal where the reading is fine enough to be taken as exact. */
export interface LogInterval {
  readonly lower: number;
  readonly upper: number;
}

/**
 * Steps that tanks and jugs are read in, litres, coarse to fine. Among them parts of a US gallon, down to a fluid ounce: no litre figure is a
 * multiple of one, and what was read to quarter gallons is no multiple of any part of a litre, which would look exact.
 */
const partsOfGallon = [1, 2, 4, 8, 10, 16, 20, 32, 64, 100, 128];
const steps = [1, 0.5, 0.25, 0.1, 0.05, 0.01, ...partsOfGallon.map((part) => litresPerUsGallon / part)].sort(
  (a, b) => b - a,
);
const finestStep = 0.01;
const shareOfMultiples = 0.95;

/** Below this part of the amount a step changes nothing that the model could see. */
const negligibleStep = 0.03;

/** The step in which a shop reads its tanks: the coarsest of which nearly all of its readings are multiples. */
export function readingStepL(records: readonly FinishedJob[]): number {
  const readings = records.flatMap((job) => [job, ...job.sections].flatMap(litresOf));
  return coarsestStep(readings, steps) ?? finestStep;
}

/** The first of the steps, coarse to fine, of which nearly all readings are multiples. */
export function coarsestStep(readings: readonly number[], of: readonly number[]): number | undefined {
  const fits = (step: number) =>
    readings.filter((r) => isMultiple(r, step)).length >= shareOfMultiples * readings.length;
  return readings.length === 0 ? undefined : of.find(fits);
}

/**
 * The rows that a job's litres give the water model.
 * Where every extracted section was measured for itself, these; else the job's totals over all of them; else whichever sections were.
 * So no litre counts twice, and spot work, which has no tank, counts nowhere.
 */
export function jobReadings(job: FinishedJob, sections: readonly DoneSection[]): JobReadings {
  const extracted = sections.filter((section) => isExtracted(section) && section.wetPasses > 0);
  const own = extracted.flatMap((section) => reading(section, [section]));
  const totals = reading(job, extracted);
  const doubt = doubtOf([...own, ...totals], extracted.length);
  if (doubt !== undefined) return { readings: [], doubt };
  return { readings: own.length === extracted.length || totals.length === 0 ? own : totals };
}

/**
 * Log litres a square metre as an interval. Each tank reading is off by anything up to half a step, so their difference is off by a triangular
 * amount up to a whole one, of variance step²/6: it is taken as the even spread of that variance, ± step/√2. The whole step either side would
 * credit the reading with twice its error, and the spread between jobs would come out too small.
 * Exact where the step is negligible; where the interval reaches zero, only known to lie below its upper end.
 */
export function logInterval(reading: WaterReading, stepL: number): LogInterval {
  const surfaceM2 = totalSurfaceM2(reading.sections);
  const left = reading.litresLeft;
  if (stepL < negligibleStep * left) return { lower: Math.log(left / surfaceM2), upper: Math.log(left / surfaceM2) };
  const half = stepL * Math.SQRT1_2;
  const least = Math.max(0, left - half);
  return { lower: Math.log(least / surfaceM2), upper: Math.log((left + half) / surfaceM2) };
}

interface Litres {
  readonly sprayedLitres?: number | undefined;
  readonly recoveredLitres?: number | undefined;
}

function reading(litres: Litres, sections: readonly DoneSection[]): readonly (WaterReading & { sprayed: number })[] {
  const { sprayedLitres, recoveredLitres } = litres;
  if (sprayedLitres === undefined || recoveredLitres === undefined) return [];
  return [{ sections, litresLeft: sprayedLitres - recoveredLitres, sprayed: sprayedLitres }];
}

function doubtOf(readings: readonly { litresLeft: number; sprayed: number }[], nExtracted: number): string | undefined {
  if (readings.length === 0) return undefined;
  if (nExtracted === 0) return 'litres were read, but no section was extracted';
  if (readings.some(({ litresLeft }) => litresLeft < 0)) return 'more was recovered than sprayed';
  if (readings.some(({ sprayed }) => sprayed === 0)) return 'sections were extracted with nothing sprayed';
  return undefined;
}

function litresOf(litres: Litres): readonly number[] {
  return [litres.sprayedLitres, litres.recoveredLitres].filter((value) => value !== undefined);
}

function isMultiple(value: number, step: number): boolean {
  const n = value / step;
  return Math.abs(n - Math.round(n)) < 1e-6 * Math.max(1, n);
}
