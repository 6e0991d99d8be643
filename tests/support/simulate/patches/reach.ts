import type { Random } from '../../../../seed/random.ts';
import type { PlannedSection } from '../../../../src/domain/planned.ts';
import type { Area, BodyStyle } from '../../../../src/domain/vocabulary.ts';
import type { Ledger, Visit } from './visit.ts';

/*
 * Where hands get to: how awkward each part of a vehicle is with the seats in, what it takes to have them out and in again, bolts that do
 * not come and all, and the minutes that a piece costs before it is begun. Minutes and factors: common practice, no source.
 */

/** Multiplier on the minutes of a section; a seat that is out, and the floor below it, stand free. */
export function awkwardness({ area }: PlannedSection, { planned, oddness }: Visit): number {
  const isFree = planned.seatsRemoved && (isSeat(area) || area === 'floor-carpet');
  const inside = reach[area] * roominess[planned.bodyStyle] ** (isSeat(area) ? 1 : 0.6);
  return (isFree ? 1 : inside) * oddness;
}

export function isSeat(area: Area): boolean {
  return boltMinutes[area] !== undefined;
}

/** Set up the bay and the machine, look at the vehicle, have the seats out and in again. */
export function prepare(visit: Visit, ledger: Ledger, random: Random): void {
  const { shop, engine, planned } = visit;
  ledger.handMinutes += shop.setUp * (engine ? 1 : 0.45) * random.gamma(8) + 6 * random.gamma(6);
  if (planned.seatsRemoved) takeSeatsOut(visit, ledger, random);
}

function takeSeatsOut({ planned, shop, lead, oddness, age }: Visit, ledger: Ledger, random: Random): void {
  // with airbags in the seats the battery comes off and one waits
  ledger.handMinutes += planned.modelYear !== undefined && planned.modelYear >= 2008 ? 6 : 2;
  for (const { area, count } of planned.sections) {
    const each = boltMinutes[area];
    if (each === undefined) continue;
    const pieces = area === 'front-seat' ? count : count ** 0.7;
    ledger.handMinutes += 1.1 * each * shop.access * pieces * lead.boltPace * oddness * random.gamma(10);
    const isStuck = random.chance(0.04 + 0.008 * age); // rust comes with the years
    if (isStuck) ledger.handMinutes += 14 * random.gamma(2);
  }
}

/** Out and in again, a piece. */
const boltMinutes: Readonly<Partial<Record<Area, number>>> = { 'front-seat': 17, 'rear-bench': 15, 'third-row': 22 };

/** Move it, cover what is beside it. */
export const pieceMinutes: Readonly<Record<Area, number>> = {
  'front-seat': 3,
  'rear-bench': 4,
  'third-row': 5,
  'floor-carpet': 5,
  'floor-mats': 1,
  cargo: 3,
  'door-insert': 1.5,
  headliner: 4,
};

/** How hard it is to get at, seats in. */
const reach: Readonly<Record<Area, number>> = {
  'front-seat': 1.22,
  'rear-bench': 1.2,
  'third-row': 1.4,
  'floor-carpet': 1.45,
  'floor-mats': 0.75,
  cargo: 1.05,
  'door-insert': 1.1,
  headliner: 1.35,
};

/** Against a sedan: two doors make it harder, wide ones easier. */
const roominess: Readonly<Record<BodyStyle, number>> = {
  coupe: 1.22,
  hatchback: 1.05,
  sedan: 1,
  wagon: 0.98,
  suv: 0.97,
  'suv-3row': 1.02,
  minivan: 0.92,
  pickup: 1.05,
  van: 0.9,
};
