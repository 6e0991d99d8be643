import type { Random } from '../../../../seed/random.ts';
import type { PlannedSection } from '../../../../src/domain/planned.ts';
import type { Stain } from '../../../../src/domain/vocabulary.ts';
import { isSeat } from './reach.ts';
import type { Visit } from './visit.ts';

/*
 * The dirt of one section, one patch of cloth after the other: what the vacuum takes, what is bound to the fibres, what sits deep and comes
 * up as the work goes on; stains in single places; and how it looks to somebody who judges by the worst of it. Common practice, no source.
 */

/** Of each patch; the work takes away from both. */
export interface Dirt {
  readonly bound: number[];
  readonly deep: number[];
}

/** What is there once the vacuum has been over it. */
export function dirtOf(section: PlannedSection, m2: number, severity: number, visit: Visit, random: Random): Dirt {
  const { lead, planned, wear } = visit;
  const vacuumed = 1 - 0.75 * lead.vacuumCare * (planned.seatsRemoved ? 1.05 : 0.95);
  const sinks = isSeat(section.area) || section.area === 'floor-carpet' ? 0.22 : 0.1;
  const dirt: Dirt = { bound: [], deep: [] };
  for (let p = 0; p < patchesIn(m2); p += 1) {
    const here = severity * random.spread(0.5) * (p % 5 === 0 ? 1.6 : 1); // where one sits, where feet stand
    const loose = 0.4 * here * Math.max(0.1, vacuumed);
    dirt.bound.push(0.55 * here + 0.5 * loose);
    dirt.deep.push(sinks * here * wear + 0.15 * loose);
  }
  stain(dirt, section.stains, random);
  return dirt;
}

/** How dirty it looks: the worse fifth, misjudged more while it is dark with water, and after the first pass. */
export function looksOf({ bound }: Dirt, wetness: number, round: number, random: Random): number {
  return quantile(bound, 0.82) * random.spread(0.14 + 0.12 * Math.min(1, wetness) + 0.1 / round);
}

/** The value of the given rank, without interpolation. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}

/** Some 0.13 m² each; few enough to be quick, enough to have a worst one. */
function patchesIn(m2: number): number {
  return Math.min(24, Math.max(5, Math.round(m2 / 0.13)));
}

function stain({ bound, deep }: Dirt, stains: readonly Stain[], random: Random): void {
  for (const kind of stains) {
    const p = Math.floor(random.uniform() * bound.length);
    bound[p] += 1.3 * stubborn[kind] * random.gamma(3);
    deep[p] += 0.5 * stubborn[kind] * random.gamma(2);
  }
}

const stubborn: Readonly<Record<Stain, number>> = {
  oil: 1.5,
  dye: 1.9,
  protein: 1.2,
  pet: 1.3,
  smoke: 0.8,
  mud: 0.7,
  drink: 0.9,
  food: 0.8,
  unknown: 1.1,
};
