import type { DryingAid, Fabric } from '../../domain/vocabulary.ts';
import type { AirCase } from '../drying-air.ts';
import { fabricTerms, indicator, type Term } from './term.ts';

/** What drying depends on beside the physical drying time. */
export interface DryingCase extends AirCase {
  readonly fabric: Fabric;
  /** A seat that stays in the vehicle. */
  readonly leftIn: boolean;
  /** Log L/m² in the section over the reference: those drawn in a forecast, those to be expected of it in a record. */
  readonly logWater?: number;
  /** When the drying begins. */
  readonly at: Date;
}

/** Log L/m² at which the term of the water is zero. */
export const referenceLogWater = Math.log(0.35);

const dayMs = 24 * 3600_000;
const daysInYear = 365.25;

/** Reference: flat weave, standing out of the vehicle or carpet, still air of a typical bay. */
export const dryingTerms: readonly Term<DryingCase>[] = [
  { id: 'int', driver: 'typical', value: () => 1 },
  { id: 'lwater', driver: 'water left in', value: ({ logWater = 0 }) => logWater },
  { id: 'lair', driver: 'air', value: ({ logAir }) => logAir },
  ...fabricTerms<DryingCase>(({ fabric }) => fabric),
  // Of records of which only a look that found it dry is noted, set where their rows are made: no forecast has it.
  { id: 'looked', driver: 'typical', value: () => 0 },
  { id: 'notrem', driver: 'seats in or out', value: ({ leftIn }) => indicator(leftIn) },
  aid('a_unsaid', undefined),
  aid('a_open', 'open-doors'),
  aid('a_fan', 'fan'),
  aid('a_dehum', 'dehumidifier'),
  aid('a_warm', 'warm-room'),
  aid('a_sun', 'sun'),
  { id: 'cosy', driver: 'season', value: ({ at }) => Math.cos(yearAngle(at)) },
  { id: 'siny', driver: 'season', value: ({ at }) => Math.sin(yearAngle(at)) },
];

/** Angle of the day in the year, 0 at the turn of the year, in radians; a day more or less for the time zone does not show. */
function yearAngle(at: Date): number {
  const newYear = Date.UTC(at.getUTCFullYear(), 0, 1);
  return (2 * Math.PI * (at.getTime() - newYear)) / (daysInYear * dayMs);
}

function aid(id: string, kind: DryingAid | undefined): Term<DryingCase> {
  return {
    id,
    driver: kind === undefined ? 'drying aid not said' : 'drying aid',
    value: (of) => indicator(of.aid === kind),
  };
}
