import { meanOf } from '../../models/estimate/figure.ts';
import { type Entries, technicianColumn } from '../../models/layout.ts';
import { stepOfJob } from '../../models/reading-steps.ts';
import { jobReadings, logInterval, type WaterReading } from '../../models/readings.ts';
import { meanGap, measuredEntries, tanksVariance } from '../../models/rows/water-rows.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { type DoneJob, readAs, type ShopView, shopView } from '../../models/shop-view.ts';
import { truncatedNormal } from '../../models/truncated-normal.ts';
import { waterForecast } from '../../models/water-forecast.ts';
import { totalSurfaceM2 } from '../../models/work-section.ts';
import type { ShopRecords } from '../shop-records.ts';

/** What was measured of one technician's work on one job, against what the same work leaves on average, whoever does it. */
export interface WaterResidual {
  readonly ref: string;
  readonly finishedAt: string;
  readonly technician: string;
  readonly extractor: string | null;
  /** Log of water left in over the expectation; the middle of a coarse reading's interval as the model sees it, the mean of several readings. */
  readonly log: number;
}

/** Half of the surface at least: a reading shared by several people says little of any one. */
const mainShare = 0.5;

/**
 * All measured jobs in time order, each with the technician who did most of what was measured. Sections read for themselves share their job's day,
 * cloth and extractor, so that several of one person on one job say little more than one: they count as one.
 */
export function waterResiduals(
  fit: ShopFit,
  { records, technicians, machines }: ShopRecords,
): readonly WaterResidual[] {
  const view = shopView(records, technicians, machines, fit.rules, readAs(fit));
  const residualOf = readingResidual(fit, view);
  const found = view.jobs.flatMap((done) => {
    const logs = new Map<string, number[]>();
    for (const reading of jobReadings(done.job, done.sections).readings) {
      const technician = mainOf(reading);
      if (technician === undefined) continue;
      logs.set(technician, [...(logs.get(technician) ?? []), residualOf(done, reading)]);
    }
    return [...logs].map(([technician, own]) => ({ ...nameOf(done), technician, log: meanOf(own) }));
  });
  return found.sort((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt));
}

/**
 * Beside what jobs differ by: room for a person who leaves much more or less, a standard deviation of 0.4, so that what was expected hardly draws a
 * coarse reading to itself. A judgement, no source.
 */
const roomForPeople = 0.15;

function readingResidual(fit: ShopFit, view: ShopView): (done: DoneJob, reading: WaterReading) => number {
  const { layout } = fit.models.water;
  const forecast = waterForecast(fit.models.water);
  return (done, reading) => {
    const entries = withoutPeople(
      measuredEntries(view, layout, done, reading.sections, reading.of),
      technicianColumn(layout, undefined),
      layout.terms.length,
    );
    const expected = forecast.expected(entries) + meanGap(view, done, reading.sections);
    const variance = forecast.meanSigma2 + tanksVariance(view, done, reading);
    const { lower, upper } = logInterval(reading, stepOfJob(fit.readingSteps, done.job, reading.of));
    return truncatedNormal({ mean: expected, variance: variance + roomForPeople }, lower, upper).mean - expected;
  };
}

function nameOf({ job }: DoneJob) {
  return { ref: job.ref, finishedAt: job.finishedAt, extractor: job.extractor };
}

function mainOf({ sections }: WaterReading): string | undefined {
  const total = totalSurfaceM2(sections);
  const by = new Map<string, number>();
  for (const { technician, surfaceM2 } of sections) by.set(technician, (by.get(technician) ?? 0) + surfaceM2);
  const [most] = [...by].sort((a, b) => b[1] - a[1]);
  return most && most[1] >= mainShare * total ? most[0] : undefined;
}

/** The technicians' columns taken out: the expectation is that of the work, not of who does it. */
function withoutPeople(entries: Entries, lastPerson: number, firstPerson: number): Entries {
  return entries.filter(([column]) => column < firstPerson || column > lastPerson);
}
