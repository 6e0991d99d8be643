import type { Random } from '../../../../seed/random.ts';
import type { PlannedJob } from '../../../../src/domain/planned.ts';
import { shareOfYear } from './calendar.ts';

/*
 * The air of the bay: outside with its seasons and its weather, inside between that and the heating, as damp as what comes in and the work
 * make it. A reading that was written down is the air of one moment, the truth lies about it. Numbers: common practice, no source.
 */

export interface Bay {
  /** Outside over the year: mean, swing, hour of the year (share) of the warmest, and how damp. */
  readonly meanC: number;
  readonly swingC: number;
  readonly warmest: number;
  readonly dampness: number;
  readonly heatedToC: number;
  /** 0: as outside, 1: well closed. */
  readonly shut: number;
  readonly nightDrop: number;
  readonly fanAtNight: boolean;
  readonly draught: number;
}

/** The day's air in the bay while people are there. */
export interface BayAir {
  readonly inC: number;
  readonly inRh: number;
  readonly outC: number;
  readonly outRh: number;
}

export function airOf(bay: Bay, hour: number, known: PlannedJob['drying'], random: Random): BayAir {
  const outC = outsideC(bay, hour, random);
  const outRh = within(25, 95, outsideRh(bay, outC, random));
  const inC =
    known?.airC === undefined ? insideC(bay, outC) + 0.8 * random.normal() : known.airC + 0.7 * random.normal();
  const inRh =
    known?.rhPercent === undefined
      ? carriedIn(outC, outRh, inC) + 6 + 4 * random.normal() // wet cloth and people add to it
      : known.rhPercent + 3 * random.normal();
  return { inC, inRh: within(18, 92, inRh), outC, outRh };
}

/** Season and weather. */
export function outsideC(bay: Bay, hour: number, random: Random): number {
  const season = Math.cos(2 * Math.PI * (shareOfYear(hour) - bay.warmest));
  return bay.meanC + bay.swingC * season + 2.6 * random.normal();
}

/** Percent, not yet held within bounds: warmer days are drier. */
export function outsideRh(bay: Bay, outC: number, random: Random): number {
  return bay.dampness - 0.5 * (outC - bay.meanC) + 9 * random.normal();
}

/** As heated as the doors are shut, and never colder than three degrees above outside. */
export function insideC(bay: Bay, outC: number): number {
  return Math.max(outC + 3, bay.heatedToC * bay.shut + outC * (1 - bay.shut));
}

/** Percent that the same vapour makes at another temperature. */
export function carriedIn(fromC: number, rh: number, toC: number): number {
  return (rh * pressure(fromC)) / pressure(toC);
}

/** How much more vapour the air could take, kPa. */
export function thirst(celsius: number, rh: number): number {
  return pressure(celsius) * (1 - rh / 100);
}

/** kPa at saturation. **Source** Tetens' formula, coefficients from memory. */
function pressure(celsius: number): number {
  return 0.6108 * Math.exp((17.27 * celsius) / (celsius + 237.3));
}

export function within(low: number, high: number, value: number): number {
  return Math.min(high, Math.max(low, value));
}
