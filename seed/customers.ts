import type { Area, BodyStyle, Fabric, Method, Soil, Stain } from '../src/domain/vocabulary.ts';
import type { Random } from './random.ts';

export type Package = 'seats' | 'full' | 'one-area' | 'spots';

/** One part of the interior as it comes in, and how it is to be cleaned. */
export interface Part {
  readonly area: Area;
  readonly count: number;
  readonly surfaceM2: number;
  readonly fabric: Fabric;
  readonly soil: Soil;
  readonly stains: readonly Stain[];
  readonly method: Method;
}

export interface Vehicle {
  readonly bodyStyle: BodyStyle;
  readonly age: number;
  readonly order: Package;
  readonly seatsRemoved: boolean;
  /** How thick and how open this vehicle's foam is: the same for all its seats. */
  readonly foam: number;
  readonly parts: readonly Part[];
}

/** A customer at the counter on one day: vehicle, soil, stains and what was agreed. `winter` is 1 in deep winter, 0 in summer. */
export function drawVehicle(winter: number, random: Random): Vehicle {
  const bodyStyle = random.pick<BodyStyle>(styles);
  const age = Math.round(7 * random.gamma(2.2));
  const order = random.pick<Package>({ seats: 0.55, full: 0.2, 'one-area': 0.1, spots: 0.15 });
  const care =
    random.normal() + 0.04 * (age - 7) + familyLoad[bodyStyle] + 0.35 * winter - (order === 'spots' ? 0.5 : 0);
  const seatCloth = random.pick<Fabric>(age > 12 ? oldCloth : newCloth);
  const size = sizes[bodyStyle] * random.spread(0.06);
  const parts = areasOf(order, bodyStyle, random).map((area) => drawPart(area, order, seatCloth, care, size, random));
  const heavy = parts.some(({ soil }) => soil === 'heavy' || soil === 'severe');
  const seatsRemoved = (order === 'seats' || order === 'full') && random.chance(heavy ? 0.6 : 0.4);
  return { bodyStyle, age, order, seatsRemoved, foam: random.spread(0.15), parts };
}

function drawPart(area: Area, order: Package, seatCloth: Fabric, care: number, size: number, random: Random): Part {
  const count = pieces[area];
  const soil = soilOf(care + extraSoil[area] + 0.6 * random.normal());
  const stains = stainsOf(area, soil, random);
  const spread = area === 'floor-mats' || area === 'door-insert' ? 1 : size;
  return {
    area,
    count,
    surfaceM2: surfaces[area] * count * spread * random.spread(0.07),
    fabric: clothOf(area, seatCloth, random),
    soil,
    stains,
    method: methodOf(area, order, soil, stains.length, random),
  };
}

function areasOf(order: Package, bodyStyle: BodyStyle, random: Random): Area[] {
  const thirdRow = bodyStyle === 'suv-3row' || bodyStyle === 'minivan';
  const seats: Area[] = bodyStyle === 'van' ? ['front-seat'] : ['front-seat', 'rear-bench'];
  if (thirdRow) seats.push('third-row');
  if (order === 'seats') return random.chance(0.15) ? [...seats, 'door-insert'] : seats;
  if (order === 'one-area')
    return [random.pick<Area>({ 'floor-carpet': 4, cargo: 3, 'rear-bench': 3, 'floor-mats': 1 })];
  if (order === 'spots') return random.chance(0.35) ? seats.slice(0, 2) : [random.pick<Area>(spotAreas)];
  const rest: Area[] = ['floor-carpet', 'floor-mats'];
  if (random.chance(0.35)) rest.push('cargo');
  if (random.chance(0.2)) rest.push('headliner');
  return [...seats, ...rest];
}

function clothOf(area: Area, seatCloth: Fabric, random: Random): Fabric {
  if (area === 'headliner') return 'headlining';
  if (area === 'floor-carpet' || area === 'cargo') return random.chance(0.6) ? 'cut-pile' : 'loop-carpet';
  if (area === 'floor-mats') return random.chance(0.75) ? 'cut-pile' : 'loop-carpet';
  return seatCloth;
}

function methodOf(area: Area, order: Package, soil: Soil, nStains: number, random: Random): Method {
  if (order === 'spots') return 'spot';
  if (area === 'headliner' || (area === 'door-insert' && soil === 'light')) return 'spot';
  if (nStains > 0 && random.chance(0.5)) return 'spot-then-extraction';
  return 'extraction';
}

function soilOf(score: number): Soil {
  if (score < -0.75) return 'light';
  if (score < 0.75) return 'moderate';
  return score < 1.9 ? 'heavy' : 'severe';
}

function stainsOf(area: Area, soil: Soil, random: Random): Stain[] {
  const mean = { light: 0.15, moderate: 0.4, heavy: 0.8, severe: 1.2 }[soil];
  const found = new Set<Stain>();
  for (let n = random.poisson(mean); n > 0; n -= 1)
    found.add(random.pick<Stain>(low.has(area) ? floorStains : seatStains));
  return [...found].sort();
}

const low: ReadonlySet<Area> = new Set<Area>(['floor-carpet', 'floor-mats', 'cargo']);
const styles = {
  sedan: 22,
  hatchback: 20,
  suv: 16,
  wagon: 12,
  minivan: 10,
  'suv-3row': 7,
  coupe: 5,
  pickup: 5,
  van: 3,
};
const newCloth = { 'flat-woven': 50, knit: 30, 'suede-like': 10, velour: 10 };
const oldCloth = { 'flat-woven': 45, knit: 10, 'suede-like': 3, velour: 42 };
const spotAreas = { 'front-seat': 4, 'rear-bench': 3, 'door-insert': 1, headliner: 1, 'floor-carpet': 1 };
const seatStains = { drink: 30, food: 22, oil: 10, protein: 7, pet: 12, mud: 4, dye: 6, smoke: 3, unknown: 14 };
const floorStains = { drink: 15, food: 10, oil: 12, pet: 18, mud: 35, dye: 2, unknown: 10 };
const extraSoil: Readonly<Record<Area, number>> = {
  'front-seat': 0,
  'rear-bench': -0.05,
  'third-row': -0.3,
  'floor-carpet': 0.25,
  'floor-mats': 0.35,
  cargo: 0.1,
  'door-insert': -0.4,
  headliner: -0.8,
};
/** Square metres a piece in a sedan: this shop's own measure, invented. */
const surfaces: Readonly<Record<Area, number>> = {
  'front-seat': 0.86,
  'rear-bench': 1.8,
  'third-row': 1.5,
  'floor-carpet': 2.3,
  'floor-mats': 0.27,
  cargo: 1.3,
  'door-insert': 0.21,
  headliner: 2.1,
};
const pieces: Readonly<Record<Area, number>> = {
  'front-seat': 2,
  'rear-bench': 1,
  'third-row': 1,
  'floor-carpet': 1,
  'floor-mats': 4,
  cargo: 1,
  'door-insert': 4,
  headliner: 1,
};
const sizes: Readonly<Record<BodyStyle, number>> = {
  coupe: 0.9,
  hatchback: 0.94,
  sedan: 1,
  wagon: 1.04,
  suv: 1.1,
  'suv-3row': 1.18,
  minivan: 1.25,
  pickup: 1,
  van: 1.25,
};
/** Children, dogs and building sites: how much dirtier a body style comes in. */
const familyLoad: Readonly<Record<BodyStyle, number>> = {
  coupe: -0.4,
  hatchback: 0,
  sedan: -0.2,
  wagon: 0.1,
  suv: 0.1,
  'suv-3row': 0.35,
  minivan: 0.5,
  pickup: 0.3,
  van: 0.4,
};
