import type { PlannedJob } from '../../../../src/domain/planned.ts';
import type { DryingAid } from '../../../../src/domain/vocabulary.ts';
import { type Bay, type BayAir, carriedIn } from './air.ts';

/*
 * What people do to have it dry sooner: doors, fans, a dehumidifier, heat, the sun; and what is left of that at night, when the doors are
 * shut, the heating is down and some switch the fans off. Degrees, percent and speeds: common practice, no source.
 */

/** Where a vehicle stands to dry. */
export interface Stand {
  readonly air: BayAir;
  readonly bay: Bay;
  readonly planned: PlannedJob;
  readonly aid: DryingAid;
}

interface MovedAir {
  /** Against air that a breath moves. */
  readonly speed: number;
  readonly celsius: number;
  readonly rh: number;
}

/** The air over the cloth at an hour of the day. */
export function movedAir(stand: Stand, at: number): MovedAir {
  const isNight = at < 7.5 || at > 18.5;
  const { celsius, rh } = aidedAir(stand, at, isNight);
  const drop = stand.bay.nightDrop;
  const speed = speedOf(stand, isNight);
  if (!isNight || stand.aid === 'warm-room') return { speed, celsius, rh };
  const cooled = celsius - drop;
  return { speed, celsius: cooled, rh: Math.min(94, carriedIn(cooled + drop, rh, cooled)) };
}

function aidedAir({ air, aid }: Stand, at: number, isNight: boolean): { celsius: number; rh: number } {
  const { inC, inRh, outC, outRh } = air;
  if (aid === 'open-doors' && !isNight) return { celsius: (inC + outC) / 2, rh: (inRh + outRh) / 2 };
  if (aid === 'dehumidifier') return { celsius: inC, rh: Math.max(28, inRh - 20) };
  if (aid === 'warm-room') {
    const celsius = inC + 9;
    return { celsius, rh: carriedIn(celsius - 9, inRh, celsius) + 3 };
  }
  if (aid === 'sun') {
    const celsius = outC + (at > 8.5 && at < 17.5 ? 16 : 0);
    return { celsius, rh: Math.min(95, carriedIn(outC, outRh, celsius) + 8) };
  }
  return { celsius: inC, rh: inRh };
}

/** As measured, or as the aid makes it; a measured one stays at night only where the fans do. */
function speedOf({ planned, aid, bay }: Stand, isNight: boolean): number {
  const measured = planned.drying?.airSpeedMs;
  if (measured !== undefined && (!isNight || bay.fanAtNight)) return 0.4 + 0.9 * measured ** 0.7;
  const stops = isNight && (aid === 'open-doors' || (aid === 'fan' && !bay.fanAtNight));
  return speeds[stops ? 'still-air' : aid];
}

const speeds: Readonly<Record<DryingAid, number>> = {
  'still-air': 0.75,
  'open-doors': 1.05,
  fan: 2.1,
  dehumidifier: 1.1,
  'warm-room': 0.95,
  sun: 0.9,
};
