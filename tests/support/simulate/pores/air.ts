import type { Random } from '../../../../seed/random.ts';
import type { DryingAid } from '../../../../src/domain/vocabulary.ts';
import type { Climate, Setting } from './types.ts';

export interface Air {
  readonly airC: number;
  readonly rhPercent: number;
}

/** Saturation vapour pressure over water, kPa (Magnus). */
const saturation = (celsius: number) => 0.6112 * Math.exp((17.62 * celsius) / (243.12 + celsius));

/** The bay at this hour: the weather of the season and day, heated where it is cold, treated where an aid treats it. */
export function bayAir({ climate }: Setting['ways'], aid: DryingAid, hour: number, random: Random): Air {
  const season = Math.cos((2 * Math.PI * (hour / 24 - 200)) / 365.25);
  const outdoors = climate.meanC + climate.swingC * season + dayWave(climate, hour) + 2.5 * random.normal();
  const vapour = saturation(outdoors) * Math.min(0.97, climate.humidity * random.spread(0.14));
  const inside = Math.max(outdoors, climate.heatedC + 1.5 * random.normal()) + (aid === 'warm-room' ? 9 : 0);
  const airC = Math.min(48, Math.max(-5, inside + (aid === 'sun' ? 3 : 0)));
  const most = aid === 'dehumidifier' ? 0.5 : 0.93;
  return { airC, rhPercent: 100 * Math.min(most, Math.max(0.12, vapour / saturation(airC))) };
}

/** Warmest at three in the afternoon. */
function dayWave({ dayC, exposure }: Climate, hour: number): number {
  return dayC * exposure * Math.cos((2 * Math.PI * ((hour % 24) - 15)) / 24);
}

interface Drying {
  readonly cloth: number;
  readonly foam: number;
  readonly capacity: number;
  readonly thick: boolean;
}

/**
 * Hours until every section is dry to hand and meter. While the pores at the surface are full the air alone sets the rate; then the surface
 * dries as it empties, the foam's water wicks up or leaves as vapour through the cloth; all share the bay's air, which the night cools.
 */
export function dryAll(
  sections: readonly Drying[],
  surface: number,
  air: Air,
  setting: Setting,
  from: number,
  random: Random,
): number {
  const { ways, hand, planned } = setting;
  const { climate } = ways;
  const aid = planned.drying?.aid ?? 'open-doors';
  const speed = planned.drying?.airSpeedMs ?? airSpeed[aid] * random.spread(0.25) * hand.dryingHabit;
  const sheltered = planned.seatsRemoved ? 1 : 0.88;
  // Heat to the surface by wind (W/m²K), as vapour at Lewis's ratio: kg/m²h for each kPa.
  const transfer = ((5.7 + 4.6 * speed) * sheltered * 3600 * random.spread(0.1)) / (0.0665 * 2_430_000);
  const exchangeM3h = climate.bayM3 * (aid === 'open-doors' || aid === 'sun' ? 9 : aid === 'fan' ? 4 : climate.changes);
  const wicks = 0.55 * ways.wick * random.spread(0.2);
  const vapour = (air.rhPercent / 100) * saturation(air.airC);
  const state = sections.map((one) => ({ ...one }));
  const step = 0.1;
  let evaporatedKgh = 0;
  for (let hours = 0; ; hours += step) {
    const wet = state.filter(({ cloth, foam, thick }) => cloth > 0.025 || foam > (thick ? 0.05 : 0.03));
    if (wet.length === 0 || hours > 150) return Math.max(0.2, hours);
    const celsius = air.airC + dayWave(climate, from + hours) - dayWave(climate, from);
    const added = aid === 'dehumidifier' ? 0 : (0.137 * 1000 * evaporatedKgh) / exchangeM3h;
    const here = Math.min(vapour + added, 0.97 * saturation(celsius));
    const potential = transfer * (saturation(wetBulb(celsius, here) + (aid === 'sun' ? 2 : 0)) - here);
    evaporatedKgh = 0;
    for (const one of state) {
      const open = Math.min(1, one.cloth / (0.2 * one.capacity));
      const leaves = Math.min(one.cloth, potential * open * step);
      const wicked = wicks * (one.thick ? 0.8 : 1) * one.foam * Math.max(0, 1 - one.cloth / one.capacity) * step;
      const seeps = Math.min(
        one.foam - Math.min(wicked, one.foam),
        0.15 * potential * (one.foam / (one.foam + 0.06)) * step,
      );
      one.cloth += Math.min(wicked, one.foam) - leaves;
      one.foam = Math.max(0, one.foam - wicked - seeps);
      evaporatedKgh += ((leaves + seeps) / step) * (surface / state.length);
    }
  }
}

/** Where the heat that the air brings is what the vapour takes, by halving. */
function wetBulb(celsius: number, vapour: number): number {
  let [low, high] = [celsius - 30, celsius];
  for (let i = 0; i < 14; i += 1) {
    const middle = (low + high) / 2;
    if (saturation(middle) - 0.0665 * (celsius - middle) > vapour) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

const airSpeed: Readonly<Record<DryingAid, number>> = {
  'still-air': 0.1,
  'open-doors': 0.4,
  fan: 1.5,
  dehumidifier: 0.25,
  'warm-room': 0.15,
  sun: 0.3,
};
