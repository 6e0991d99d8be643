import type { Random } from '../../../../seed/random.ts';
import type { BodyStyle, Soil } from '../../../../src/domain/vocabulary.ts';
import type { Climate, Ways } from './types.ts';

/** What a kind of shop is like before chance makes one of it. */
export interface Kind {
  readonly people: readonly [number, number];
  readonly machines: readonly [number, number];
  readonly bodies: Readonly<Partial<Record<BodyStyle, number>>>;
  /** Shares of spot-only jobs, of jobs with the seats out, of jobs for two. */
  readonly spotJobs: number;
  readonly seatsOut: number;
  readonly pairs: number;
  readonly soils: Readonly<Record<Soil, number>>;
  /** How much dirtier winter is, in logarithms of the odds of the dirtier half. */
  readonly winterDirt: number;
  readonly climate: Pick<Climate, 'meanC' | 'swingC' | 'humidity'>;
  readonly callsAnHour: number;
}

const cars = {
  coupe: 0.7,
  hatchback: 2,
  sedan: 3,
  wagon: 1.2,
  suv: 2,
  'suv-3row': 0.8,
  minivan: 0.8,
  pickup: 0.7,
  van: 0.3,
};
const town: Kind = {
  people: [3, 6],
  machines: [1, 3],
  bodies: cars,
  spotJobs: 0.15,
  seatsOut: 0.3,
  pairs: 0.15,
  soils: { light: 2, moderate: 5, heavy: 2.5, severe: 0.8 },
  winterDirt: 0.3,
  climate: { meanC: 12, swingC: 9, humidity: 0.66 },
  callsAnHour: 0.5,
};

export const kinds = {
  town,
  large: { ...town, people: [7, 9], machines: [3, 4], pairs: 0.3, seatsOut: 0.4 },
  fleet: {
    ...town,
    people: [2, 5],
    bodies: { van: 5, minivan: 2, pickup: 1.5 },
    soils: { light: 1, moderate: 3, heavy: 4, severe: 2 },
    seatsOut: 0.15,
    spotJobs: 0.05,
    callsAnHour: 0.2,
  },
  damp: { ...town, climate: { meanC: 26, swingC: 2.5, humidity: 0.8 }, winterDirt: 0 },
  alone: { ...town, people: [1, 1], machines: [1, 1], pairs: 0, callsAnHour: 1.1 },
  valet: {
    ...town,
    people: [3, 8],
    spotJobs: 0.75,
    seatsOut: 0.04,
    pairs: 0.05,
    soils: { light: 5, moderate: 4, heavy: 1, severe: 0.1 },
  },
  snow: { ...town, climate: { meanC: 6, swingC: 14, humidity: 0.7 }, winterDirt: 1.2 },
} as const satisfies Record<string, Kind>;

/** Like kinds in their rough frequency. */
export const kindWeights = { town: 4, large: 1, fleet: 1.5, damp: 1.5, alone: 2, valet: 1.5, snow: 1.5 };

export function waysOf(kind: Kind, random: Random): Ways {
  const lift = (sd: number) => sd * random.normal();
  const general = lift(0.1);
  const plain = random.spread(0.14);
  return {
    climate: {
      meanC: kind.climate.meanC + lift(1.5),
      swingC: kind.climate.swingC,
      humidity: Math.min(0.88, kind.climate.humidity + lift(0.04)),
      dayC: 4.5,
      heatedC: random.between(11, 19),
      exposure: random.between(0.3, 0.9),
      bayM3: 160 * random.spread(0.4),
      changes: 2.5 * random.spread(0.3),
    },
    tempo: 1.04 * random.spread(0.05),
    stroke: random.spread(0.09),
    fetch: random.spread(0.1),
    soil: {
      light: general + lift(0.12),
      moderate: general + lift(0.04),
      heavy: general + lift(0.08),
      severe: general + lift(0.12),
    },
    cloth: {
      'flat-woven': plain,
      knit: plain * random.spread(0.1),
      velour: plain * random.spread(0.12),
      'suede-like': plain * random.spread(0.15),
      'loop-carpet': plain * random.spread(0.15),
      'cut-pile': plain * random.spread(0.15),
      headlining: plain * random.spread(0.2),
    },
    foam: random.spread(0.25),
    wick: random.spread(0.3),
    callsAnHour: kind.callsAnHour * random.spread(0.3),
    vacuumIsExtractor: random.chance(0.6),
  };
}
