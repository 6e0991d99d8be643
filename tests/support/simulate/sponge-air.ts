import type { Random } from '../../../seed/random.ts';
import type { DryingAid } from '../../../src/domain/vocabulary.ts';
import type { JobSetting } from './types.ts';

/** What a shop does with its bay when it shuts. */
export interface Bay {
  readonly fansStayOn: boolean;
  /** Degrees lost when the heating is down. */
  readonly nightDrop: number;
}

/** kg/(m² h) off a wet surface while the shop is open and while it is shut. */
export interface Evaporation {
  readonly open: number;
  readonly shut: number;
}

/** Evaporation of this job's drying: the reading is that of one moment, the air of the next hours is not quite it. */
export function bayEvaporation(
  { planned, bay, character }: JobSetting & { readonly bay: Bay },
  random: Random,
): Evaporation {
  const { aid = 'still-air', airC = 19, rhPercent = 55, airSpeedMs } = planned.drying ?? {};
  const [warmer, damper] = [1.2 * random.normal(), 5 * random.normal()];
  const draught = (random.spread(0.15) * (planned.seatsRemoved ? 1.1 : 0.85)) / character.drying;
  const rate = (celsius: number, percent: number, speed: number) =>
    draught * waterSurface(celsius, Math.min(92, Math.max(15, percent)), speed);
  const [temperature, humidity] = [airC + warmer, rhPercent + damper];
  const runsOn = aid === 'dehumidifier' || aid === 'warm-room' || (aid === 'fan' && bay.fansStayOn);
  const drop = aid === 'warm-room' ? 0 : bay.nightDrop;
  return {
    open: rate(temperature, humidity, airSpeedMs ?? speeds[aid]),
    shut: rate(temperature - drop, humidity + 1.5 * drop, runsOn ? speeds[aid] : 0.1),
  };
}

/** Hours from `startHour` (since 1970) until `litresPerM2` are gone; the shop is open from 8 to 18 h. */
export function hoursToEvaporate(litresPerM2: number, startHour: number, { open, shut }: Evaporation): number {
  let [left, hour] = [litresPerM2, startHour];
  for (;;) {
    const clock = hour % 24;
    const isOpen = clock >= 8 && clock < 18;
    const rate = isOpen ? open : shut;
    const span = isOpen ? 18 - clock : clock < 8 ? 8 - clock : 32 - clock;
    if (left <= rate * span) return hour + left / rate - startHour;
    left -= rate * span;
    hour += span;
  }
}

/** (25 + 19 v)(x of the surface − x of the air), the engineers' formula for basins; the surface as cold as a wet thermometer. From memory. */
function waterSurface(celsius: number, percent: number, speed: number): number {
  const wetBulb = stull(celsius, percent);
  return (25 + 19 * speed) * (ratio(wetBulb, 100) - ratio(celsius, percent));
}

/** Wet-bulb temperature fitted for sea level. **Source** Stull (2011), J. Appl. Meteorol. Climatol. 50, 2267; coefficients from memory. */
function stull(celsius: number, percent: number): number {
  return (
    celsius * Math.atan(0.151977 * Math.sqrt(percent + 8.313659)) +
    Math.atan(celsius + percent) -
    Math.atan(percent - 1.676331) +
    0.00391838 * percent ** 1.5 * Math.atan(0.023101 * percent) -
    4.686035
  );
}

/** kg of vapour a kg of dry air, Magnus' formula. */
function ratio(celsius: number, percent: number): number {
  const vapour = (percent / 100) * 0.6112 * Math.exp((17.62 * celsius) / (243.12 + celsius));
  return (0.622 * vapour) / (101.325 - vapour);
}

const speeds: Readonly<Record<DryingAid, number>> = {
  'still-air': 0.15,
  'open-doors': 0.5,
  fan: 1.3,
  dehumidifier: 0.5,
  'warm-room': 0.3,
  sun: 0.5,
};
