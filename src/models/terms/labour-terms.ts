import type { BodyStyle, Grade, Soil } from '../../domain/vocabulary.ts';
import { isExtracted, surfaceShare, totalSurfaceM2, type WorkSection } from '../work-section.ts';
import { indicator, type Term } from './term.ts';

/** What the person-hours of a job depend on beside its work content. */
export interface LabourCase {
  readonly bodyStyle: BodyStyle;
  readonly seatsRemoved: boolean;
  readonly sections: readonly WorkSection[];
  /** Passes made, mean by surface. */
  readonly meanPasses: number;
  readonly crew: number;
  readonly grade: Grade;
}

/** Passes at which the passes term is zero. */
export const referencePasses = 2.2;

const referenceSections = 2;

/** Reference: sedan, moderate soil, seats out, extraction, 2.2 passes, two sections, one person, standard extractor. */
export const labourTerms: readonly Term<LabourCase>[] = [
  { id: 'int', driver: 'typical', value: () => 1 },
  bodyStyle('coupe', 'coupe'),
  bodyStyle('hatchback', 'hatchback'),
  bodyStyle('wagon', 'wagon'),
  bodyStyle('suv', 'suv'),
  bodyStyle('suv3', 'suv-3row'),
  bodyStyle('minivan', 'minivan'),
  bodyStyle('pickup', 'pickup'),
  bodyStyle('van', 'van'),
  soil('light'),
  soil('heavy'),
  soil('severe'),
  { id: 'notrem', driver: 'seats in or out', value: (job) => indicator(!job.seatsRemoved) },
  { id: 'lpass', driver: 'passes', value: (job) => passesTerm(job.meanPasses) },
  { id: 'spot', driver: 'method', value: (job) => 1 - extractedShare(job) },
  {
    id: 'spotext',
    driver: 'method',
    value: (job) => surfaceShare(job.sections, ({ method }) => method === 'spot-then-extraction'),
  },
  { id: 'lnsec', driver: 'sections', value: (job) => Math.log(job.sections.length / referenceSections) },
  grade('entry'),
  grade('high'),
  { id: 'crew', driver: 'crew', value: (job) => indicator(job.crew >= 2) },
];

/** Of the variance of a single section's hours three parts in four are its own, and average out over the sections of a job. Common practice, no source. */
const ownParts = 3;

/**
 * How far the hours of these sections spread against those of two alike, as a factor on sigma: a job's hours are a sum, so that those of one small
 * section are known less well, as a share, than those of a whole interior.
 */
export function labourSpread(sections: readonly WorkSection[]): number {
  const surfaceM2 = totalSurfaceM2(sections);
  const squares = sections.reduce((sum, section) => sum + (section.surfaceM2 / surfaceM2) ** 2, 0);
  return Math.sqrt((1 + ownParts * squares) / (1 + ownParts / referenceSections));
}

/** How the labour model reads a job's mean passes: zero at the reference, one pass more weighing less and less. */
export function passesTerm(meanPasses: number): number {
  return Math.log((1 + meanPasses) / (1 + referencePasses));
}

/** Share of the surface that an extractor works on: the weight of its grade and its own effect. */
export function extractedShare(job: { readonly sections: readonly WorkSection[] }): number {
  return surfaceShare(job.sections, isExtracted);
}

/** Mean of the sections' passes by surface. */
export function meanPasses(sections: readonly WorkSection[], passes: ArrayLike<number>): number {
  const sum = sections.reduce((total, section, s) => total + section.surfaceM2 * passes[s], 0);
  return sum / totalSurfaceM2(sections);
}

function bodyStyle(id: string, style: BodyStyle): Term<LabourCase> {
  return { id, driver: 'body style', value: (job) => indicator(job.bodyStyle === style) };
}

function soil(level: Soil): Term<LabourCase> {
  return { id: level, driver: 'soil', value: (job) => surfaceShare(job.sections, ({ soil }) => soil === level) };
}

function grade(level: Grade): Term<LabourCase> {
  return { id: level, driver: 'extractor', value: (job) => indicator(job.grade === level) * extractedShare(job) };
}
