import { drawVehicle, type Vehicle } from './customers.ts';
import type { Random } from './random.ts';
import { type Extractor, extractors, type Person, people } from './scenario.ts';

/** One entry of the diary; `startHour` counts from 1970, `month` from the start of the history. */
export interface Slot {
  readonly startHour: number;
  readonly month: number;
  readonly vehicle: Vehicle;
  readonly person: Person;
  readonly helper: Person | undefined;
  readonly extractor: Extractor | undefined;
}

/** A day's diary: who starts on what, when, with which machine; nobody twice in a day, a machine twice only where none is idle. */
export function daySlots(day: number, month: number, random: Random): Slot[] {
  const free = new Set(people.filter(({ joinsInMonth = 0 }) => month >= joinsInMonth));
  const idle = new Set<Extractor>();
  const slots: Slot[] = [];
  for (let wanted = demand(day, random); wanted > 0; wanted -= 1) {
    const vehicle = drawVehicle(winterOf(day), random);
    const person = take(free, ({ share }) => share, random);
    if (!person) break;
    const long = vehicle.order === 'full';
    const helper = long && random.chance(0.3) ? take(free, ({ share }) => share, random) : undefined;
    const needsMachine = vehicle.parts.some(({ method }) => method !== 'spot');
    const extractor = needsMachine ? chooseMachine(idle, vehicle, month, random) : undefined;
    const startHour = 24 * day + (long ? 8 : startOf(random));
    slots.push({ startHour, month, vehicle, person, helper, extractor });
  }
  return slots;
}

/** Customers of a day: closed on Sundays, half a day on Saturdays, more in summer; four bays. */
function demand(day: number, random: Random): number {
  const weekday = (day + 4) % 7;
  if (weekday === 0) return 0;
  return Math.min(4, random.poisson((weekday === 6 ? 0.8 : 1.75) * (1.15 - 0.3 * winterOf(day))));
}

function winterOf(day: number): number {
  return 0.5 + 0.5 * Math.cos((2 * Math.PI * (day - 19)) / 365.25);
}

/** In the morning, or after the noon break. */
function startOf(random: Random): number {
  return random.chance(0.3) ? 13 : random.between(8, 10);
}

/** The dirtiest vehicles get the strongest machine that is free: as in life, and a trap for whoever compares machines. */
function chooseMachine(idle: Set<Extractor>, vehicle: Vehicle, month: number, random: Random): Extractor | undefined {
  if (idle.size === 0) {
    for (const extractor of extractors) if (month >= (extractor.arrivesInMonth ?? 0)) idle.add(extractor);
  }
  const dirty = vehicle.parts.some(({ soil }) => soil === 'heavy' || soil === 'severe');
  return take(idle, (machine) => (dirty ? (machine.waterLiftKpa / 24) ** 2.5 : 1), random);
}

function take<T>(from: Set<T>, weight: (item: T) => number, random: Random): T | undefined {
  const items = [...from];
  if (items.length === 0) return undefined;
  const chosen = random.pick(Object.fromEntries(items.map((item, i) => [String(i), weight(item)])));
  const item = items[Number(chosen)];
  if (item !== undefined) from.delete(item);
  return item;
}
