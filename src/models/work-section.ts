import type { PlannedSection } from '../domain/planned.ts';
import type { FinishedJob, Section } from '../domain/record.ts';
import { tableSurfaceM2 } from '../domain/surface.ts';
import {
  type Area,
  type Brush,
  type Fabric,
  type Method,
  type Result,
  type Soil,
  type Stain,
  seatAreas,
} from '../domain/vocabulary.ts';
import { type Habits, habitOf } from './habits.ts';
import type { SurfaceRatios } from './surface-ratios.ts';

/** A section as the models read it, before or after the work: its surface filled in. */
export interface WorkSection {
  readonly area: Area;
  readonly pieces: number;
  readonly surfaceM2: number;
  readonly fabric: Fabric;
  readonly soil: Soil;
  readonly stains: readonly Stain[];
  readonly method: Method;
  readonly brush: Brush | undefined;
  readonly dryPasses: number | undefined;
  /** A seat that stays in the vehicle. */
  readonly leftIn: boolean;
  /** 1 after a last round with the vacuum over everything, 0 without one; where it is not said, how often it is done. */
  readonly lastVacuum: number;
}

/** What the models fill a section's gaps with, from the shop's other work. */
export interface SectionFills {
  readonly surfaceRatios: SurfaceRatios;
  readonly vacuumHabits: Habits;
}

type JobFacts = Pick<FinishedJob, 'bodyStyle' | 'seatsRemoved' | 'finalVacuum'>;

/** A section after the work. */
export interface DoneSection extends WorkSection {
  readonly wetPasses: number;
  readonly result: Result;
  readonly technician: string;
  readonly sprayedLitres: number | undefined;
  readonly recoveredLitres: number | undefined;
}

/** Who may do a planned section, and how likely; no key is someone new. */
export interface MayWork {
  readonly key: string | undefined;
  readonly share: number;
}

/** @param people whose habit stands in where a plan does not say; their shares sum to one */
export function workSection(
  section: PlannedSection | Section,
  job: JobFacts,
  fills: SectionFills,
  people: readonly MayWork[],
): WorkSection {
  return {
    area: section.area,
    pieces: section.count,
    surfaceM2: surfaceM2Of(section, job, fills),
    fabric: section.fabric,
    soil: section.soil,
    stains: section.stains,
    method: section.method,
    brush: section.brush,
    dryPasses: section.dryPasses,
    leftIn: isLeftIn(section, job),
    lastVacuum: lastVacuumOf(job, fills, people),
  };
}

function surfaceM2Of(section: PlannedSection | Section, { bodyStyle }: JobFacts, fills: SectionFills): number {
  return (
    section.surfaceM2 ?? tableSurfaceM2(section.area, section.count, bodyStyle) * fills.surfaceRatios[section.area]
  );
}

function isLeftIn({ area }: PlannedSection | Section, { seatsRemoved }: JobFacts): boolean {
  return !seatsRemoved && seatAreas.some((seat) => seat === area);
}

function lastVacuumOf({ finalVacuum }: JobFacts, { vacuumHabits }: SectionFills, people: readonly MayWork[]): number {
  if (finalVacuum !== undefined) return Number(finalVacuum);
  return people.reduce((sum, { key, share }) => sum + share * habitOf(vacuumHabits, key), 0);
}

/** The sections of a finished job, written out for speed: every record of a shop passes here; a section that names nobody was worked by whoever gave the job the most minutes. */
export function doneSections(job: FinishedJob, fills: SectionFills): readonly DoneSection[] {
  const main = mainTechnician(job);
  const lastVacuum = lastVacuumOf(job, fills, [{ key: main, share: 1 }]);
  return job.sections.map((section) => ({
    area: section.area,
    pieces: section.count,
    surfaceM2: surfaceM2Of(section, job, fills),
    fabric: section.fabric,
    soil: section.soil,
    stains: section.stains,
    method: section.method,
    brush: section.brush,
    dryPasses: section.dryPasses,
    leftIn: isLeftIn(section, job),
    lastVacuum,
    wetPasses: section.wetPasses,
    result: section.result,
    technician: section.technician ?? main,
    sprayedLitres: section.sprayedLitres,
    recoveredLitres: section.recoveredLitres,
  }));
}

/**
 * Whoever gave the job the most minutes, of two alike the one listed first: the bay's form begins with whoever records.
 * In a file its order of people decides. Shares in place of one person would have to reach every row
 * of passes and water, the habits, and the report on water, which all know one person a section.
 */
export function mainTechnician(job: Pick<FinishedJob, 'labour'>): string {
  return job.labour.reduce((most, one) => (one.minutes > most.minutes ? one : most)).technician;
}

export function totalSurfaceM2(sections: readonly WorkSection[]): number {
  let sum = 0;
  for (const { surfaceM2 } of sections) sum += surfaceM2;
  return sum;
}

/** Share of the surface that a rule picks out, 0 to 1. */
export function surfaceShare<S extends WorkSection>(sections: readonly S[], picks: (section: S) => boolean): number {
  let picked = 0;
  for (const section of sections) if (picks(section)) picked += section.surfaceM2;
  return picked / totalSurfaceM2(sections);
}

/** An extractor was used on it. */
export function isExtracted(section: WorkSection): boolean {
  return section.method !== 'spot';
}
