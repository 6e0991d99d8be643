import type { Machine, Technician } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { zonedDay } from '../../domain/zoned-time.ts';
import { type Entries, technicianColumn } from '../../models/layout.ts';
import { stepAt } from '../../models/reading-steps.ts';
import { jobReadings, logInterval, type WaterReading } from '../../models/readings.ts';
import { meanGap, measuredEntries, tanksVariance } from '../../models/rows/water-rows.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { type DoneJob, readAs, shopView } from '../../models/shop-view.ts';
import { truncatedNormal } from '../../models/truncated-normal.ts';
import { waterForecast } from '../../models/water-forecast.ts';
import { totalSurfaceM2 } from '../../models/work-section.ts';

/** One measured job of one technician against what the same work leaves on average, whoever does it. */
export interface WaterResidual {
  readonly ref: string;
  readonly finishedAt: string;
  readonly technician: string;
  readonly extractor: string | null;
  /** Log of water left in over the expectation; the middle of a coarse reading's interval as the model sees it. */
  readonly log: number;
  /** Standard deviation that such a job has anyway, log scale. */
  readonly sd: number;
}

export interface ShopRecords {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  /** IANA name of the shop's zone, by whose days people and machines come and go; UTC where absent. */
  readonly timeZone?: string | undefined;
}

/** The shop's day. */
export function dayOf({ timeZone = 'UTC' }: ShopRecords, now: Date): string {
  return zonedDay(now, timeZone);
}

/** Half of the surface at least: a reading shared by several people says little of any one. */
const mainShare = 0.5;

/** All measured jobs in time order, each with the technician who did most of what was measured; one for each where sections were read for themselves. */
export function waterResiduals(
  fit: ShopFit,
  { records, technicians, machines }: ShopRecords,
): readonly WaterResidual[] {
  const view = shopView(records, technicians, machines, fit.rules, readAs(fit));
  const { layout } = fit.models.water;
  const forecast = waterForecast(fit.models.water);
  const found: WaterResidual[] = [];
  for (const done of view.jobs) {
    const ofJob: ReadResidual[] = [];
    for (const reading of jobReadings(done.job, done.sections).readings) {
      const technician = mainOf(reading);
      if (technician === undefined) continue;
      const entries = withoutPeople(
        measuredEntries(view, layout, done, reading.sections, reading.of),
        technicianColumn(layout, undefined),
        layout.terms.length,
      );
      const expected = forecast.expected(entries) + meanGap(view, done, reading.sections);
      const variance = forecast.meanSigma2 + tanksVariance(view, done, reading);
      const { lower, upper } = logInterval(reading, stepAt(fit.readingSteps, done.job.finishedAt, reading.of));
      const seen = truncatedNormal({ mean: expected, variance: variance + 0.15 }, lower, upper);
      const surfaceM2 = totalSurfaceM2(reading.sections);
      ofJob.push({ technician, surfaceM2, log: seen.mean - expected, variance: variance + seen.variance });
    }
    found.push(...byTechnician(ofJob).map((one) => ({ ...nameOf(done), ...one })));
  }
  return found.sort((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt));
}

interface ReadResidual {
  readonly technician: string;
  readonly surfaceM2: number;
  readonly log: number;
  readonly variance: number;
}

/** Sections of one job tell of one job: most of what they are off by they share, so they do not count as so many. */
function byTechnician(readings: readonly ReadResidual[]): readonly Pick<WaterResidual, 'technician' | 'log' | 'sd'>[] {
  return [...new Set(readings.map(({ technician }) => technician))].map((technician) => {
    const own = readings.filter((one) => one.technician === technician);
    const total = own.reduce((sum, { surfaceM2 }) => sum + surfaceM2, 0);
    const mean = (of: 'log' | 'variance') => own.reduce((sum, one) => sum + one.surfaceM2 * one[of], 0) / total;
    return { technician, log: mean('log'), sd: Math.sqrt(mean('variance')) };
  });
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
