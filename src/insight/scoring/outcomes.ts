import type { ModelName } from '../../domain/doubts.ts';
import type { DryingCheck, FinishedJob } from '../../domain/record.ts';
import { type Look, sequentialBrierScore } from '../../inference/scores-censored.ts';
import { wetBefore } from '../../models/looks.ts';
import { stepOfJob } from '../../models/reading-steps.ts';
import { jobReadings } from '../../models/readings.ts';
import { soonestHours } from '../../models/rows/drying-rows.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { doneSections, isExtracted, totalSurfaceM2 } from '../../models/work-section.ts';
import { actualHours } from '../actual-hours.ts';
import type { Forecast, JobForecast } from './forecast.ts';

/** Something that came of a job, and the forecast of it among those of the job. */
export interface Outcome {
  readonly model: ModelName;
  readonly ofJob: (forecast: Partial<JobForecast>) => Forecast | undefined;
  /** Known to lie above `from` and at or below `to`; equal where it is exact. */
  readonly from: number;
  readonly to: number;
  /** The section that it is of; absent where it is the job's. */
  readonly section?: number;
  /** Undefined where only the interval is known. */
  readonly value: number | undefined;
  /** What a value read before the work less one after it is off by at most, each to the nearest mark; absent where it is neither. */
  readonly offBy?: number;
  readonly score: (forecast: Forecast) => number;
}

/** Passes are counted up to here. */
export const countedPasses = 12;

/** All that came of a job and can be scored. How surfaces and tanks are read is the fit's, so that every forecast meets the same outcomes. */
export function outcomesOf(
  fit: Pick<ShopFit, 'surfaceRatios' | 'vacuumHabits' | 'readingSteps' | 'looks'>,
  job: FinishedJob,
): readonly Outcome[] {
  return [...passesOutcomes(job), hoursOutcome(job), ...litresOutcome(fit, job), ...dryingOutcome(fit, job)];
}

/** Passes made of every section: the forecast holds giving up too, so that how it ended is no reason to leave a section out. */
function passesOutcomes({ sections }: FinishedJob): readonly Outcome[] {
  return sections.flatMap(({ wetPasses: made }, section): Outcome[] => {
    if (made < 1 || made > countedPasses) return [];
    const score = (forecast: Forecast) => rankedScore(forecast, made);
    return [
      {
        model: 'passes',
        ofJob: ({ passes }) => passes?.[section],
        section,
        from: made - 1,
        to: made,
        value: made,
        score,
      },
    ];
  });
}

/** Ranked probability score over counts: the CRPS of whole numbers. */
function rankedScore(forecast: Forecast, made: number): number {
  let sum = 0;
  for (let k = 1; k < countedPasses; k++) sum += (forecast.atOrBelow(k) - (made <= k ? 1 : 0)) ** 2;
  return sum;
}

function hoursOutcome(job: FinishedJob): Outcome {
  const hours = actualHours(job);
  const score = (forecast: Forecast) => forecast.crps(hours);
  return { model: 'labour', ofJob: (forecast) => forecast.hours, from: hours, to: hours, value: hours, score };
}

/**
 * Over all that was extracted, as it is forecast: where some of it was not measured, nothing came of the forecast. Each reading is off by up to a
 * step of the tank either way, known as nearly as the model takes it (`logInterval`), and scored as the middle. Nothing left, as the tanks tell
 * it, is an outcome like any other: to leave out what came driest would make every forecast look too low.
 */
function litresOutcome(
  fit: Pick<ShopFit, 'surfaceRatios' | 'vacuumHabits' | 'readingSteps'>,
  job: FinishedJob,
): readonly Outcome[] {
  const sections = doneSections(job, fit);
  const extracted = sections.filter((section) => isExtracted(section) && section.wetPasses > 0);
  const { readings } = jobReadings(job, sections);
  const measured = readings.reduce((count, reading) => count + reading.sections.length, 0);
  const litresLeft = readings.reduce((sum, reading) => sum + reading.litresLeft, 0);
  if (readings.length === 0 || measured < extracted.length) return [];
  const surfaceM2 = totalSurfaceM2(extracted);
  const value = litresLeft / surfaceM2;
  const steps = readings.map(({ of }) => stepOfJob(fit.readingSteps, job, of));
  const offBy = Math.hypot(...steps) / surfaceM2;
  const reach = offBy * Math.SQRT1_2;
  const [from, to] = [Math.max(0, value - reach), value + reach];
  return [
    {
      model: 'water',
      ofJob: ({ litres }) => litres,
      from,
      to,
      value,
      offBy,
      score: (forecast) => forecast.crps(value),
    },
  ];
}

/**
 * A drying time, known only to lie between two checks. It is scored by the sequential Brier score, everywhere: here, in the track record, and
 * where a fit is judged before it is published. The likelihood of the interval (`intervalLogScore`) is proper too, but one drying time
 * that a forecast from draws held impossible would make it infinite and decide alone, and "a third less" means nothing of a logarithm.
 */
function dryingOutcome({ looks }: Pick<ShopFit, 'looks'>, job: FinishedJob): readonly Outcome[] {
  const noted = (job.drying?.checks ?? []).map(asRead).sort((a, b) => a.hours - b.hours);
  if (noted.length === 0) return [];
  const wetHours = noted[0].dry ? wetBefore(looks, job, noted[0].hours) : 0;
  const checks = wetHours > 0 ? [{ hours: wetHours, dry: false }, ...noted] : noted;
  const firstDry = checks.findIndex(({ dry }) => dry);
  const told = firstDry < 0 ? checks : checks.slice(0, firstDry + 1);
  const from = told.filter(({ dry }) => !dry).at(-1)?.hours ?? 0;
  const to = firstDry < 0 ? Number.POSITIVE_INFINITY : checks[firstDry].hours;
  const score = (forecast: Forecast) =>
    sequentialBrierScore(told.map(({ hours, dry }): Look => ({ forecast: forecast.atOrBelow(hours), happened: dry })));
  return [{ model: 'drying', ofJob: ({ dryHours }) => dryHours, from, to, value: undefined, score }];
}

/** What was dry when the work ended was dry within the hours that the model reads it as: no forecast holds it dry before. */
function asRead({ hours, dry }: DryingCheck): DryingCheck {
  return { hours: dry ? Math.max(soonestHours, hours) : hours, dry };
}
