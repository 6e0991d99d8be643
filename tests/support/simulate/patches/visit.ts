import type { Random } from '../../../../seed/random.ts';
import type { PlannedJob } from '../../../../src/domain/planned.ts';
import { tableSurfaceM2 } from '../../../../src/domain/surface.ts';
import type { DryingAid } from '../../../../src/domain/vocabulary.ts';
import { airOf, type BayAir } from './air.ts';
import { type Engine, suctionAt } from './engines.ts';
import type { PatchShop } from './habits.ts';
import { anyOf, type Hand, slowWhenNew } from './people.ts';
import { soilGiven } from './soil.ts';

/*
 * One vehicle's visit, all that is settled before the first hand moves: who does it, how large and how awkward this vehicle is, how dirty
 * behind the words on the card, the air of the day, how strong the machine pulls and the solution works. Common practice, no source.
 */

/** What is known of a job: who does it may be open. */
export interface PatchSetting {
  readonly planned: PlannedJob;
  readonly shop: PatchShop;
  readonly engine: Engine | undefined;
  readonly lead: Hand | undefined;
  readonly mate: Hand | undefined;
  /** Hours since 1970. */
  readonly startHour: number;
}

export interface Visit extends PatchSetting {
  readonly lead: Hand;
  /** Some vehicles are simply awkward. */
  readonly oddness: number;
  /** True m² of each section, and its true soil (logarithm). */
  readonly surfaces: readonly number[];
  readonly soil: readonly number[];
  readonly aid: DryingAid;
  readonly air: BayAir;
  /** Years. */
  readonly age: number;
  /** Old foam takes up more of both water and dirt. */
  readonly wear: number;
  /** Multiplier on minutes; and what those in a hurry save of some. */
  readonly slow: number;
  readonly isHurried: boolean;
  readonly spared: number;
  readonly suction: number;
  readonly chemistry: number;
}

/** Minutes and litres as the work fills them up. */
export interface Ledger {
  /** Minutes that only the one machine can do, and all others. */
  machineMinutes: number;
  handMinutes: number;
  sprayed: number;
  recovered: number;
  /** Litres that the clean tank gave, as far as people see it. */
  refill: number;
}

export function drawVisit(setting: PatchSetting, random: Random): Visit {
  const { planned, shop, engine, startHour } = setting;
  const lead = setting.lead ?? anyOf(shop.hands, random);
  const mate = planned.crew > 1 ? (setting.mate ?? otherThan(lead, shop, random)) : undefined;
  const size = random.spread(0.08);
  const oddness = random.spread(0.1);
  const surfaces = trueSurfaces(planned, size, random);
  const soil = soilGiven(planned, lead, shop, random);
  const aid = planned.drying?.aid ?? random.pick<DryingAid>(shop.aids);
  const air = airOf(shop.bay, startHour, planned.drying, random);
  const age = planned.modelYear === undefined ? random.between(2, 14) : Math.max(0, 2025.5 - planned.modelYear);
  const wear = 1 + 0.012 * Math.min(age, 20);
  const slow = 1.12 * shop.pace * lead.pace * slowWhenNew(lead, startHour) * random.spread(0.05);
  const isHurried = random.chance(0.25 * shop.bustle);
  const work = { aid, air, age, wear, slow, isHurried, spared: isHurried ? 0.92 : 1 };
  const suction = engine ? suctionAt(engine, startHour) : 1;
  return { ...setting, lead, mate, oddness, surfaces, soil, ...work, suction, chemistry: chemistryOf(setting, random) };
}

function otherThan(lead: Hand, { hands }: PatchShop, random: Random): Hand {
  return anyOf(
    hands.filter(({ key }) => key !== lead.key),
    random,
  );
}

/** What was measured is nearly right; otherwise the table's, larger or smaller with the vehicle and the section. */
function trueSurfaces({ sections, bodyStyle }: PlannedJob, size: number, random: Random): number[] {
  return sections.map(({ area, count, surfaceM2 }) =>
    surfaceM2 === undefined
      ? tableSurfaceM2(area, count, bodyStyle) * size * random.spread(0.08)
      : surfaceM2 * random.spread(0.05),
  );
}

/** Warmer and stronger solution loosens more, though doubling the concentrate helps by less than a tenth. */
function chemistryOf({ planned, shop, engine }: PatchSetting, random: Random): number {
  const warm = planned.solutionC ?? (engine?.heated ? 48 : random.between(22, 40));
  return (1 + 0.006 * (warm - 35)) * (20 / (planned.dilution ?? 20)) ** 0.12 * shop.strength * random.spread(0.06);
}
