import { type Machine, stillInUse, type Technician } from '../../domain/lists.ts';
import type { PlannedJob } from '../../domain/planned.ts';
import type { Grade } from '../../domain/vocabulary.ts';
import { zonedDay } from '../../domain/zoned-time.ts';
import type { Share } from '../habits.ts';
import type { ShopFit } from '../shop-fit.ts';
import { gradeOf } from '../shop-view.ts';
import { type MayWork, type WorkSection, workSection } from '../work-section.ts';

/** Who may do the work, and how likely. */
export type TechnicianOption = MayWork;

/** The extractor that may be used, and how likely; no key is some ordinary one. */
export interface MachineOption {
  readonly key: string | undefined;
  readonly grade: Grade;
  readonly share: number;
}

/** A planned job as the models read it: gaps filled, what is open as a mixture. */
export interface PlannedWork {
  readonly job: PlannedJob;
  readonly sections: readonly WorkSection[];
  /** By section: whoever the plan names for it; undefined is whoever gets the job. */
  readonly namedTechnicians: readonly (string | undefined)[];
  readonly technicians: readonly TechnicianOption[];
  readonly machines: readonly MachineOption[];
  readonly startAt: Date;
}

export interface ShopNow {
  readonly now: Date;
  /** IANA name of the zone by whose days people and machines come to an end; UTC where past jobs are forecast, which name them. */
  readonly timeZone?: string;
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
}

/** Fills a plan's gaps from the fit: surfaces from the table, an open technician or extractor by share of the recent jobs. */
export function plannedWork(fit: ShopFit, job: PlannedJob, shop: ShopNow): PlannedWork {
  const { now, timeZone = 'UTC', technicians, machines } = shop;
  const startAt = job.startAt === undefined ? noonOf(now) : new Date(job.startAt);
  const day = zonedDay(job.startAt === undefined ? now : startAt, timeZone);
  const people = options(job.technician, fit.technicianShares, technicians, day);
  const extractors = options(job.extractor ?? undefined, fit.machineShares, machines, day);
  return {
    job,
    sections: job.sections.map((section) =>
      workSection(
        section,
        job,
        fit,
        section.technician === undefined ? people : [{ key: section.technician, share: 1 }],
      ),
    ),
    namedTechnicians: job.sections.map((section) => section.technician),
    technicians: people,
    machines: extractors.map((option) => ({ ...option, grade: gradeOf(machines, option.key) })),
    startAt,
  };
}

/** Without a start the season is that of the day: an estimate asked for twice in a day is the same. */
function noonOf(now: Date): Date {
  return new Date(`${now.toISOString().slice(0, 10)}T12:00:00Z`);
}

/** The one that is named; else the recent ones still on the list on that day, by share; else someone new. */
function options(
  named: string | undefined,
  shares: readonly Share[],
  list: readonly { readonly key: string; readonly until?: string | undefined }[],
  day: string,
): readonly TechnicianOption[] {
  if (named !== undefined) return [{ key: named, share: 1 }];
  const here = new Set(stillInUse(list, day).map(({ key }) => key));
  const there = shares.filter(({ key }) => here.has(key));
  const total = there.reduce((sum, { share }) => sum + share, 0);
  if (total === 0) return [{ key: undefined, share: 1 }];
  return there.map(({ key, share }) => ({ key, share: share / total }));
}
