import type { Random } from '../../../../seed/random.ts';
import type { DryingAid } from '../../../../src/domain/vocabulary.ts';
import { movedAir, type Stand } from './aids.ts';
import { type Bay, type BayAir, thirst } from './air.ts';
import { clock } from './calendar.ts';

/*
 * Drying, quarter hour by quarter hour: as fast as the air takes it while the cloth is wet, ever slower once it is not, foam feeding it from
 * below (see aids.ts for the air). Rates: common practice, no source.
 */

/** Water in one section as it is left, L/m², and what it lies in. */
export interface Wet {
  readonly cloth: number;
  readonly foam: number;
  readonly depth: number;
  readonly holds: number;
  /** A seat that stands in the bay. */
  readonly isOut: boolean;
  /** A mat that hangs or lies by itself. */
  readonly isMat: boolean;
}

export interface Place extends Stand {
  readonly finishHour: number;
  /** Of the one who sets the bay up for the night. */
  readonly habit: number;
}

const span = 0.25;
const longest = 120; // hours; nobody waits for more

/** Hours from the finish until the cloth feels dry. */
export function dryHours(wet: Wet, place: Place, random: Random): number {
  const touch = 0.032 * random.spread(0.12); // L/m² that a hand no longer feels
  const own = place.habit * random.spread(0.14);
  const drawn = 0.064 * place.bay.draught * own * inTheOpen(wet, place.aid);
  let { cloth, foam } = wet;
  for (let t = 0; t < longest; t += span) {
    if (cloth + 0.35 * foam < touch) return Math.max(span, t - span * random.uniform());
    const { speed, celsius, rh } = movedAir(place, clock(place.finishHour + t));
    cloth -= givenOff(cloth, wet.holds, drawn * speed * Math.max(0.03, thirst(celsius, rh)));
    const up = fed(cloth, foam, wet);
    foam -= up;
    cloth += up;
  }
  return longest;
}

/** L/m² an hour that wet cloth loses in the bay while people still work. */
export function evaporated({ inC, inRh }: BayAir, bay: Bay, speed: number): number {
  return 0.036 * bay.draught * thirst(inC, inRh) * (0.6 + speed);
}

/** Less air reaches cloth that stays in the cabin, least where nothing moves it. */
function inTheOpen({ isOut, isMat }: Wet, aid: DryingAid): number {
  if (isOut || isMat) return 1.25;
  return aid === 'still-air' ? 0.72 : 0.88;
}

/** Constant while the cloth is wet, falling once it holds less than some third of what it can. */
function givenOff(cloth: number, holds: number, potential: number): number {
  return Math.min(cloth, potential * span * Math.min(1, cloth / (0.35 * holds)));
}

/** Deep foam gives its water up slowly, and hardly to cloth that is still full. */
function fed(cloth: number, foam: number, { depth, holds }: Wet): number {
  const share = 1 - Math.exp((-0.33 * span) / (0.45 + depth));
  return Math.min(foam, foam * share * Math.max(0.1, 1 - cloth / holds));
}
