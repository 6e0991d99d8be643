import type { Random } from '../../../../seed/random.ts';
import type { PlannedJobInput } from '../../../../src/domain/planned.ts';
import { tableSurfaceM2 } from '../../../../src/domain/surface.ts';
import type { Area, BodyStyle, Brush, Fabric, Method, Soil, Stain } from '../../../../src/domain/vocabulary.ts';
import type { PatchShop, Trade } from './habits.ts';

/*
 * Which parts of a vehicle are to be cleaned and how: seats mostly, whole interiors, a floor, a single small thing; the dirtier the more
 * stains and the less by spot work alone; seats out where much is to be done. Shares: common practice, no source.
 */

type Section = PlannedJobInput['sections'][number];

export function drawAreas(bodyStyle: BodyStyle, { whole }: Trade, random: Random): Area[] {
  const seats = seatsOf(bodyStyle, random);
  if (random.chance(whole)) return [...seats, ...restOfInterior(bodyStyle, random)];
  const kind = random.pick({ seats: 5, one: 2, floors: 1.2, mixed: 1.5, small: 0.6 });
  if (kind === 'seats') return seats;
  if (kind === 'one') return [seats[Math.floor(random.uniform() * seats.length)]];
  if (kind === 'floors') return random.chance(0.7) ? ['floor-carpet', 'floor-mats'] : ['floor-carpet'];
  if (kind === 'small') return [random.pick<Area>({ headliner: 1, 'door-insert': 1, 'floor-mats': 1, cargo: 1 })];
  return [...seats, random.pick<Area>({ 'floor-carpet': 2, 'floor-mats': 2, 'door-insert': 1.5, headliner: 0.7 })];
}

interface Vehicle {
  readonly areas: readonly Area[];
  readonly grades: readonly Soil[];
  readonly bodyStyle: BodyStyle;
  readonly shop: PatchShop;
}

interface Inside {
  readonly bodyStyle: BodyStyle;
  readonly trade: Trade;
  readonly ofSeats: Fabric;
  readonly ofFloor: Fabric;
  /** Surfaces are written down, this vehicle's against the table; undefined where not. */
  readonly size: number | undefined;
}

export function drawSections(
  { areas, grades, bodyStyle, shop }: Vehicle,
  random: Random,
): { seatsRemoved: boolean; sections: Section[] } {
  const { trade, papers } = shop;
  const ofSeats = random.pick<Fabric>({ 'flat-woven': 5, knit: 2.5, velour: 2, 'suede-like': 0.7 });
  const ofFloor = random.pick<Fabric>({ 'cut-pile': 3, 'loop-carpet': 2 });
  const outShare = trade.outShare * (areas.length > 1 ? 1 : 0.4) * (grades.includes('severe') ? 1.6 : 1);
  const seatsRemoved = areas.some((area) => seatAreas.has(area)) && bodyStyle !== 'van' && random.chance(outShare);
  const isWritten = random.chance(papers.surfaces);
  const spread = random.spread(0.08);
  const inside = { bodyStyle, trade, ofSeats, ofFloor, size: isWritten ? spread : undefined };
  return { seatsRemoved, sections: areas.map((area, i) => drawSection(area, grades[i], inside, random)) };
}

function drawSection(area: Area, soil: Soil, inside: Inside, random: Random): Section {
  const { bodyStyle, trade, ofSeats, ofFloor, size } = inside;
  const stains = drawStains(trade.stainRate * stainy[soil], random);
  const method = drawMethod(area, soil, { trade, nStains: stains.length }, random);
  const count = drawCount(area, bodyStyle, random);
  const isFloor = area === 'floor-carpet' || area === 'floor-mats' || area === 'cargo';
  return {
    area,
    count,
    ...(size !== undefined && {
      surfaceM2: Math.round(20 * tableSurfaceM2(area, count, bodyStyle) * size * random.spread(0.07)) / 20,
    }),
    fabric: area === 'headliner' ? 'headlining' : isFloor ? ofFloor : ofSeats,
    soil,
    stains: [...new Set(stains)],
    method,
    ...(random.chance(0.6) && {
      brush: random.pick<Brush>({ none: 0.5, soft: 5, medium: 3, stiff: isFloor ? 1.5 : 0.2 }),
    }),
  };
}

function seatsOf(bodyStyle: BodyStyle, random: Random): Area[] {
  if (bodyStyle === 'van' || (bodyStyle === 'pickup' && random.chance(0.4))) return ['front-seat'];
  const hasThird = bodyStyle === 'suv-3row' || bodyStyle === 'minivan';
  return ['front-seat', 'rear-bench', ...(hasThird ? (['third-row'] as const) : [])];
}

function restOfInterior(bodyStyle: BodyStyle, random: Random): Area[] {
  const more: Area[] = ['floor-carpet'];
  if (random.chance(0.7)) more.push('floor-mats');
  if (random.chance(0.5) && !bootOrBed.has(bodyStyle)) more.push('cargo');
  if (random.chance(0.6)) more.push('door-insert');
  if (random.chance(0.3)) more.push('headliner');
  return more;
}

function drawStains(expected: number, random: Random): Stain[] {
  return Array.from({ length: Math.min(3, random.poisson(expected)) }, () => random.pick<Stain>(stainMix));
}

/** Doors and roof are dabbed; elsewhere the soil and the stains decide. */
function drawMethod(area: Area, soil: Soil, seen: { trade: Trade; nStains: number }, random: Random): Method {
  if (area === 'door-insert' || area === 'headliner')
    return random.pick<Method>({ spot: 8, extraction: 1, 'spot-then-extraction': 0.4 });
  return random.pick<Method>({
    spot: spotBySoil[soil] * seen.trade.spotShare,
    extraction: 3,
    'spot-then-extraction': 0.3 + 1.3 * Math.min(2, seen.nStains),
  });
}

/** Both counts are drawn whatever the area, so that a section takes as many chances as a seat or as a mat. */
function drawCount(area: Area, bodyStyle: BodyStyle, random: Random): number {
  const seats = bodyStyle === 'sedan' || random.chance(0.85) ? 2 : 1;
  const mats = random.chance(0.7) ? 4 : 2;
  if (area === 'front-seat') return seats;
  if (area === 'floor-mats') return mats;
  return area === 'door-insert' ? 4 : 1;
}

const seatAreas: ReadonlySet<Area> = new Set(['front-seat', 'rear-bench', 'third-row']);
/** No cargo floor to be cleaned with the cabin. */
const bootOrBed: ReadonlySet<BodyStyle> = new Set(['coupe', 'sedan', 'pickup']);
const stainy: Readonly<Record<Soil, number>> = { light: 0.6, moderate: 1, heavy: 1.5, severe: 2.1 };
const spotBySoil: Readonly<Record<Soil, number>> = { light: 2.5, moderate: 0.8, heavy: 0.15, severe: 0.03 };
const stainMix: Readonly<Record<Stain, number>> = {
  drink: 4,
  food: 3,
  oil: 1.2,
  protein: 1,
  pet: 1,
  mud: 1.5,
  dye: 0.4,
  smoke: 0.3,
  unknown: 1.2,
};
