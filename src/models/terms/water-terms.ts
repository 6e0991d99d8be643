import type { Grade, Method } from '../../domain/vocabulary.ts';
import { isExtracted, type WorkSection } from '../work-section.ts';
import { fabricTerms, indicator, type Term } from './term.ts';

/** What the water left in a section depends on. A job measured as one is the mean of its sections by surface. */
export interface WaterCase {
  readonly section: WorkSection;
  readonly grade: Grade;
  readonly wetPasses: number;
  /** Dry passes to a wet one, less one; spot work has none and counts as the reference. */
  readonly dry: number;
  /** Of what a job's tanks tell, all the surface that they tell of. Absent of what stays in the cloth, which is what is forecast. */
  readonly tanksOverM2?: number | undefined;
}

/** Wet passes at which the term of their logarithm is zero. */
export const referenceWetPasses = 2;

/**
 * Standard deviation of one section's own error on the log scale, beside what a job's sections share: after extraction, and after spot work, where
 * hands wipe up and no tank tells. Common practice, no source.
 */
const ownErrorSd = { extracted: 0.15, byHand: 0.25 } as const;

/** @param spread how far a job's sections lie apart here, as a factor */
export function sectionErrorSd(section: WorkSection, spread: number): number {
  return spread * (isExtracted(section) ? ownErrorSd.extracted : ownErrorSd.byHand);
}

export function sectionErrorVariance(section: WorkSection, spread: number): number {
  return sectionErrorSd(section, spread) ** 2;
}

/** Surface whose cloth keeps as much as is lost on the way, m²: a fifth of a litre a job, at about a third of a litre a square metre. Common practice, no source. */
const lostOverM2 = 0.57;

/** Over two square metres, where the term of what is lost on the way is one. */
const lostAtReference = Math.log1p(lostOverM2 / 2);

/** Half a front seat, m². Below it a surface is a slip more likely than work, and must not be explained by what is lost. Common practice, no source. */
const leastTankM2 = 0.5;

/** Reference: extraction, flat weave, two wet passes, one dry pass to each, no last round with the vacuum, standard extractor. */
export const waterTerms: readonly Term<WaterCase>[] = [
  { id: 'int', driver: 'typical', value: () => 1 },
  method('spot', 'spot'),
  method('spotext', 'spot-then-extraction'),
  ...fabricTerms<WaterCase>(({ section }) => section.fabric),
  { id: 'lwet', driver: 'passes', value: ({ wetPasses }) => wetTerm(wetPasses) },
  { id: 'dry', driver: 'dry passes', value: ({ section, dry }) => (isExtracted(section) ? dry : 0) },
  { id: 'vac', driver: 'last round with the vacuum', value: ({ section }) => section.lastVacuum },
  grade('entry'),
  grade('high'),
  // Zero in every plan, so that no driver tells of it.
  {
    id: 'lost',
    driver: 'typical',
    value: ({ tanksOverM2 }) => (tanksOverM2 === undefined ? 0 : lostTerm(tanksOverM2)),
  },
];

/** How the water model reads wet passes: zero at two. */
export function wetTerm(wetPasses: number): number {
  return Math.log(wetPasses / referenceWetPasses);
}

/**
 * How the water model reads what tanks tell beyond what stays in the cloth: what is lost in hoses, in the mist and in the dregs of a tank is so
 * many litres a job, and so the larger a part the less cloth there is. One over two square metres, near zero over a great many.
 */
export function lostTerm(surfaceM2: number): number {
  return Math.log1p(lostOverM2 / Math.max(leastTankM2, surfaceM2)) / lostAtReference;
}

function method(id: string, kind: Method): Term<WaterCase> {
  return { id, driver: 'method', value: ({ section }) => indicator(section.method === kind) };
}

function grade(level: Grade): Term<WaterCase> {
  return {
    id: level,
    driver: 'extractor',
    value: (of) => indicator(of.grade === level && isExtracted(of.section)),
  };
}
