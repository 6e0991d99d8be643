import type { PlannedSection } from '../domain/planned.ts';
import type { FinishedJob, Section } from '../domain/record.ts';
import { tableSurfaceM2 } from '../domain/surface.ts';
import type { Area, BodyStyle, Brush, Fabric, Method, Result, Soil, Stain } from '../domain/vocabulary.ts';
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
}

/** A section after the work. */
export interface DoneSection extends WorkSection {
  readonly wetPasses: number;
  readonly result: Result;
  readonly technician: string;
  readonly sprayedLitres: number | undefined;
  readonly recoveredLitres: number | undefined;
}

export function workSection(
  section: PlannedSection | Section,
  bodyStyle: BodyStyle,
  ratios: SurfaceRatios,
): WorkSection {
  return {
    area: section.area,
    pieces: section.count,
    surfaceM2: surfaceM2Of(section, bodyStyle, ratios),
    fabric: section.fabric,
    soil: section.soil,
    stains: section.stains,
    method: section.method,
    brush: section.brush,
    dryPasses: section.dryPasses,
  };
}

function surfaceM2Of(section: PlannedSection | Section, bodyStyle: BodyStyle, ratios: SurfaceRatios): number {
  return section.surfaceM2 ?? tableSurfaceM2(section.area, section.count, bodyStyle) * ratios[section.area];
}

/** The sections of a finished job, written out for speed: every record of a shop passes here; a section that names nobody was worked by whoever gave the job the most minutes. */
export function doneSections(job: FinishedJob, ratios: SurfaceRatios): readonly DoneSection[] {
  const main = mainTechnician(job);
  return job.sections.map((section) => ({
    area: section.area,
    pieces: section.count,
    surfaceM2: surfaceM2Of(section, job.bodyStyle, ratios),
    fabric: section.fabric,
    soil: section.soil,
    stains: section.stains,
    method: section.method,
    brush: section.brush,
    dryPasses: section.dryPasses,
    wetPasses: section.wetPasses,
    result: section.result,
    technician: section.technician ?? main,
    sprayedLitres: section.sprayedLitres,
    recoveredLitres: section.recoveredLitres,
  }));
}

export function mainTechnician(job: FinishedJob): string {
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
