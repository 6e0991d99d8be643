import { seatAreas } from '../domain/vocabulary.ts';
import { isExtracted, type WorkSection } from './work-section.ts';

/** Minutes of the rules of thumb. Common practice, no source. */
const minutes = {
  job: 25,
  section: 6,
  seatOut: 20,
  extraction: { perM2: 9, perM2Pass: 8 },
  spot: { perM2: 4, perM2Pass: 4 },
};

/** The work content of a job in its parts, person-minutes. */
export interface WorkContent {
  /** Setting up, and each section whatever its passes. */
  readonly fixedMinutes: number;
  /** Each section's minutes for one pass over it; the passes come in here alone. */
  readonly minutesPerPass: readonly number[];
  readonly seatsOutMinutes: number;
}

/**
 * The person-minutes that the rules of thumb give a job, split so that the passes can be filled in draw by draw:
 * set-up, surface × passes by method, seats taken out.
 */
export function workContent(sections: readonly WorkSection[], seatsRemoved: boolean): WorkContent {
  const fixedMinutes = sections.reduce(
    (sum, section) => sum + minutes.section + section.surfaceM2 * rate(section).perM2,
    minutes.job,
  );
  return {
    fixedMinutes,
    minutesPerPass: sections.map((section) => section.surfaceM2 * rate(section).perM2Pass),
    seatsOutMinutes: seatsRemoved ? minutes.seatOut * seatPieces(sections) : 0,
  };
}

/** All of a job's work content for the passes of its sections, person-minutes. */
export function contentMinutes(content: WorkContent, passes: ArrayLike<number>): number {
  let sum = content.fixedMinutes + content.seatsOutMinutes;
  for (let s = 0; s < content.minutesPerPass.length; s++) sum += content.minutesPerPass[s] * passes[s];
  return sum;
}

function rate(section: WorkSection): { readonly perM2: number; readonly perM2Pass: number } {
  return isExtracted(section) ? minutes.extraction : minutes.spot;
}

function seatPieces(sections: readonly WorkSection[]): number {
  const isSeat = (section: WorkSection) => seatAreas.some((area) => area === section.area);
  return sections.filter(isSeat).reduce((sum, section) => sum + section.pieces, 0);
}
