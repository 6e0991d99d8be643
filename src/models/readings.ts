import type { FinishedJob } from '../domain/record.ts';
import type { ReadingOf } from './reading-steps.ts';
import { type DoneSection, isExtracted, totalSurfaceM2 } from './work-section.ts';

/** What was measured as one: the sections that share it and the litres left in them. */
export interface WaterReading {
  readonly of: ReadingOf;
  readonly sections: readonly DoneSection[];
  readonly litresLeft: number;
  /** What went through the tanks, of which their error is a part: the root of the sum of both readings' squares. */
  readonly throughLitres: number;
}

/** The readings of one job, or why none of its litres can be believed. */
type JobReadings =
  | { readonly readings: readonly WaterReading[] }
  | { readonly readings: readonly []; readonly doubt: string };

/** Bounds of log L/m²; equal where the reading is fine enough to be taken as exact. */
export interface LogInterval {
  readonly lower: number;
  readonly upper: number;
}

/** Below this part of the amount a step changes nothing that the model could see. */
const negligibleStep = 0.03;

/**
 * The rows that a job's litres give the water model.
 * Where every extracted section was measured for itself, these; else the job's totals over all of them; else whichever sections were.
 * So no litre counts twice, and spot work, which has no tank, counts nowhere.
 */
export function jobReadings(job: FinishedJob, sections: readonly DoneSection[]): JobReadings {
  const extracted = sections.filter((section) => isExtracted(section) && section.wetPasses > 0);
  const own = extracted.flatMap((section) => reading('section', section, [section]));
  const totals = reading('job', job, extracted);
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
export function logInterval(reading: Pick<WaterReading, 'sections' | 'litresLeft'>, stepL: number): LogInterval {
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

function reading(
  of: ReadingOf,
  litres: Litres,
  sections: readonly DoneSection[],
): readonly (WaterReading & { sprayed: number })[] {
  const { sprayedLitres, recoveredLitres } = litres;
  if (sprayedLitres === undefined || recoveredLitres === undefined) return [];
  const throughLitres = Math.hypot(sprayedLitres, recoveredLitres);
  return [{ of, sections, litresLeft: sprayedLitres - recoveredLitres, throughLitres, sprayed: sprayedLitres }];
}

function doubtOf(readings: readonly { litresLeft: number; sprayed: number }[], nExtracted: number): string | undefined {
  if (readings.length === 0) return undefined;
  if (nExtracted === 0) return 'litres were read, but no section was extracted';
  if (readings.some(({ litresLeft }) => litresLeft < 0)) return 'more was recovered than sprayed';
  if (readings.some(({ sprayed }) => sprayed === 0)) return 'sections were extracted with nothing sprayed';
  return undefined;
}
