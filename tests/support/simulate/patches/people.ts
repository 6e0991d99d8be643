import type { Random } from '../../../../seed/random.ts';
import type { Person, SimulationOptions } from '../types.ts';
import { lastDay } from './calendar.ts';

/*
 * The people of a shop: how long they hold the trigger and how they hold the nozzle, what their eye lets pass, when they lose patience,
 * what they write down. Some came a short while ago and are slow yet. All spreads: common practice, no source.
 */

export interface Hand extends Person {
  readonly trigger: number;
  /** How much of the nozzle's suction reaches the cloth. */
  readonly angle: number;
  readonly vacuumCare: number;
  /** Above 0: calls the same soil dirtier than others do. */
  readonly gradesUp: number;
  readonly leastPasses: number;
  readonly patience: number;
  readonly dryStyle: 'each' | 'last' | 'seldom';
  /** Hours since 1970 of the first day here, and how slow then. */
  readonly hired: number;
  readonly greenness: number;
  readonly roundsTo: 1 | 5 | 10 | 15 | 30;
  readonly writesLitres: number;
  readonly checks: number;
  readonly forgetsDry: number;
  /** Seat bolts: some hate it. */
  readonly boltPace: number;
}

export function drawHands({ nTechnicians, wetSpread = 0.16, overWet }: SimulationOptions, random: Random): Hand[] {
  const n = nTechnicians ?? 3 + Math.floor(random.uniform() * 5);
  return Array.from({ length: n }, (_, i) => {
    const extra = overWet?.technician === i ? overWet.factor : 1;
    return drawHand(`t${i + 1}`, wetSpread, extra, random);
  });
}

/** Who leaves more water in does so by a longer trigger and, less, by a worse angle: the powers share the factor out between the two. */
function drawHand(key: string, wetSpread: number, extra: number, random: Random): Hand {
  const trigger = random.spread(wetSpread * 0.75) * extra ** 0.6;
  const angle = random.spread(wetSpread * 0.75) / extra ** 0.4;
  const isNew = random.chance(0.2); // one in five came this year
  return {
    key,
    pace: random.spread(0.13),
    wet: trigger / angle,
    trigger,
    angle,
    dryRatio: random.between(0, 1),
    eye: random.spread(0.2),
    dryingHabit: random.spread(0.08),
    vacuumCare: random.between(0.65, 1.05),
    gradesUp: 0.25 * random.normal(),
    leastPasses: Number(random.pick({ '1': 6, '2': 4, '3': 0.4 })),
    patience: random.spread(0.4),
    dryStyle: random.pick({ each: 5, last: 4, seldom: 1.5 }),
    hired: isNew ? lastDay - 24 * random.between(30, 300) : lastDay - 24 * random.between(500, 4000),
    greenness: random.between(0.15, 0.5),
    roundsTo: ([1, 5, 10, 15, 30] as const)[Math.floor(random.uniform() * 5)],
    writesLitres: random.between(0.4, 1.6),
    checks: random.between(0.5, 1.5),
    forgetsDry: random.between(0, 0.4),
    boltPace: random.spread(0.25),
  };
}

const monthHours = 730;

/** Multiplier on the time of somebody new; it fades with a constant of three months. Common practice, no source. */
export function slowWhenNew({ hired, greenness }: Hand, hour: number): number {
  const months = (hour - hired) / monthHours;
  return 1 + greenness * Math.exp(-Math.max(0, months) / 3);
}

export function anyOf<T>(list: readonly T[], random: Random): T {
  return list[Math.floor(random.uniform() * list.length)];
}
