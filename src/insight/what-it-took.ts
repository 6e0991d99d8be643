import type { FinishedJob, Section } from '../domain/record.ts';
import { actualHours, ranOver } from './actual-hours.ts';
import type { GivenEstimate, SectionEstimate } from './given-estimate.ts';

/** Where an outcome lies in the range that was said for 8 of 10 such jobs. */
export type Place = 'below' | 'inside' | 'above';

/** A finished job held against the estimate that was given for it. */
export interface Took {
  readonly ref: string;
  readonly finishedAt: Date;
  /** Person-hours. */
  readonly hours: { readonly took: number; readonly place: Place; readonly overQuote: boolean };
  readonly parts: readonly PartTook[];
  /** Undefined where nobody checked. */
  readonly dry: DryTook | undefined;
  /** Litres left in over all; undefined where the tanks were not read, or spot work beside them that no tank tells of. */
  readonly waterLitres: { readonly took: number; readonly place: Place } | undefined;
}

export interface PartTook {
  readonly area: Section['area'];
  readonly count: number;
  readonly passes: number;
  /** Passes stopped before this part was clean. */
  readonly gaveUp: boolean;
  /** The chance (0 to 1) that was given to so many; undefined for a part that was not in the plan. */
  readonly chance: number | undefined;
}

/** Hours after the work: still wet at the one, dry at the other; either may be unknown. */
export interface DryTook {
  readonly wetAt: number | undefined;
  readonly dryAt: number | undefined;
  /** Undefined where the checks leave it open. */
  readonly place: Place | undefined;
}

export function whatItTook(job: FinishedJob, estimate: GivenEstimate): Took {
  const hours = actualHours(job);
  return {
    ref: job.ref,
    finishedAt: new Date(job.finishedAt),
    hours: {
      took: hours,
      place: placeIn(estimate.labourHours, hours),
      overQuote: ranOver(hours, estimate.quote.hours),
    },
    parts: partsOf(job.sections, estimate.sections),
    dry: dryOf(job, estimate),
    waterLitres: waterOf(job, estimate),
  };
}

interface Range {
  readonly p10: number;
  readonly p90: number;
}

function placeIn({ p10, p90 }: Range, value: number): Place {
  return value < p10 ? 'below' : value > p90 ? 'above' : 'inside';
}

/** Parts are matched by their area, in their order. */
function partsOf(sections: readonly Section[], planned: readonly SectionEstimate[]): PartTook[] {
  const left = [...planned];
  return sections.map(({ area, count, wetPasses, result }) => {
    const at = left.findIndex((section) => section.area === area);
    const [plan] = at < 0 ? [] : left.splice(at, 1);
    const gaveUp = result !== 'clean';
    return { area, count, passes: wetPasses, gaveUp, chance: gaveUp ? undefined : chanceOf(plan, wetPasses) };
  });
}

function chanceOf(plan: SectionEstimate | undefined, passes: number): number | undefined {
  return plan?.passesMade.find((one) => one.passes === passes || (one.orMore && passes > one.passes))?.chance;
}

function dryOf({ drying }: FinishedJob, { dryHours }: GivenEstimate): DryTook | undefined {
  const checks = drying?.checks ?? [];
  if (checks.length === 0) return undefined;
  const wet = checks.filter(({ dry }) => !dry).map(({ hours }) => hours);
  const dry = checks.filter((check) => check.dry).map(({ hours }) => hours);
  const wetAt = wet.length === 0 ? undefined : Math.max(...wet);
  const dryAt = dry.length === 0 ? undefined : Math.min(...dry);
  return { wetAt, dryAt, place: placeOfInterval(dryHours, wetAt ?? 0, dryAt ?? Number.POSITIVE_INFINITY) };
}

/** Known only where the whole interval lies on one side. */
function placeOfInterval({ p10, p90 }: Range, from: number, to: number): Place | undefined {
  if (to <= p10) return 'below';
  if (from >= p90) return 'above';
  return from >= p10 && to <= p90 ? 'inside' : undefined;
}

/** The estimate's litres are those of all sections, the tanks' those of the extracted ones. */
function waterOf({ sprayedLitres, recoveredLitres, sections }: FinishedJob, { waterLitres }: GivenEstimate) {
  if (sections.some(({ method }) => method === 'spot')) return undefined;
  if (sprayedLitres === undefined || recoveredLitres === undefined || recoveredLitres > sprayedLitres) return undefined;
  const took = sprayedLitres - recoveredLitres;
  return { took, place: placeIn(waterLitres, took) };
}
