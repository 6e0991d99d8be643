import type { Area, BodyStyle } from '../src/domain/vocabulary.ts';
import type { Part, Vehicle } from './customers.ts';
import type { SoilCourse } from './process-soil.ts';
import type { WaterCourse } from './process-water.ts';
import type { Random } from './random.ts';
import type { Extractor, Habits } from './scenario.ts';

export interface WorkedPart {
  readonly part: Part;
  readonly soil: SoilCourse;
  readonly water: WaterCourse;
}

/** What makes the day longer than the job: people, the hour, and how new someone is. */
export interface Circumstances {
  readonly startHour: number;
  readonly crew: number;
  /** Extra of a beginner, fading over the first months: 0 for the experienced. */
  readonly unpractised: number;
}

/** Person-minutes of one job, built up from what is done: fetch, vacuum, bolts, strips, refills, looks, interruptions. */
export function workMinutes(
  vehicle: Vehicle,
  worked: readonly WorkedPart[],
  extractor: Extractor | undefined,
  habits: Habits,
  { startHour, crew, unpractised }: Circumstances,
  random: Random,
): number {
  const hands = worked.reduce((sum, part) => sum + sectionMinutes(part, random), 0);
  const seats = vehicle.seatsRemoved ? seatMinutes(vehicle, random) : awkwardMinutes(vehicle);
  const sprayed = worked.reduce((sum, { water }) => sum + water.sprayedLitres, 0);
  const refills = extractor ? 4.5 * Math.floor(sprayed / extractor.tankLitres) + 6 : 0;
  const setUp = 17 * random.spread(0.15);
  const alone = (setUp + hands + seats + refills) * habits.pace * (1 + unpractised) * random.spread(0.055);
  const tired = 1 + 0.012 * Math.max(0, startHour + alone / 60 / crew - 13);
  const shared = crew > 1 ? 1.05 + 0.04 * random.uniform() : 1;
  return alone * tired * shared + interruptions(alone / 60, random);
}

function sectionMinutes({ part, soil, water }: WorkedPart, random: Random): number {
  const m2 = part.surfaceM2;
  const vacuum = { light: 3, moderate: 4.2, heavy: 5.6, severe: 7.5 }[part.soil];
  const spotting = soil.spotRounds * 3 * (0.5 + 0.5 * part.stains.length);
  const move = 7 * random.spread(0.2);
  if (part.method === 'spot') return move + m2 * (0.6 * vacuum + 5 * soil.wetPasses);
  const brushing = soil.brush === 'none' ? 0 : 2.4;
  const perPass = 3.6 + brushing + 1.6 * random.spread(0.2);
  return move + spotting + m2 * (vacuum + 3 + perPass * soil.wetPasses + 2.4 * water.dryPasses);
}

/** Bolts, plugs and lifting, out and back in; now and then one is seized. */
function seatMinutes(vehicle: Vehicle, random: Random): number {
  const pieces = vehicle.parts.reduce((sum, { area, count }) => sum + (removable.has(area) ? count : 0), 0);
  const seized = random.chance(0.01 + 0.006 * vehicle.age) ? 25 * random.gamma(2) : 0;
  return pieces * 21 * bolts[vehicle.bodyStyle] * random.spread(0.1) + seized;
}

function awkwardMinutes(vehicle: Vehicle): number {
  const seatM2 = vehicle.parts.reduce((sum, { area, surfaceM2 }) => sum + (removable.has(area) ? surfaceM2 : 0), 0);
  return seatM2 * (vehicle.bodyStyle === 'coupe' ? 4 : 2);
}

/** The telephone, a customer, a missing key: those that end up on the job's clock. */
function interruptions(hours: number, random: Random): number {
  let minutes = 0;
  for (let n = random.poisson(0.16 * hours); n > 0; n -= 1) minutes += 9 * random.gamma(1.5);
  return minutes;
}

const removable: ReadonlySet<Area> = new Set<Area>(['front-seat', 'rear-bench', 'third-row']);
const bolts: Readonly<Record<BodyStyle, number>> = {
  coupe: 1.1,
  hatchback: 1,
  sedan: 1,
  wagon: 1,
  suv: 1.02,
  'suv-3row': 1.05,
  minivan: 0.9,
  pickup: 1.05,
  van: 0.95,
};
