import type { DryingAid } from '../domain/vocabulary.ts';
import { type Air, airSpeedByAid, dryingRateKgPerM2h } from './evaporation.ts';
import { typicalAir, type UsualAir, usualAirWith } from './usual-air.ts';

/** What a record or a plan says of the air; anything may be missing. */
export interface SaidAir {
  readonly aid?: DryingAid | undefined;
  readonly airC?: number | undefined;
  readonly rhPercent?: number | undefined;
  readonly airSpeedMs?: number | undefined;
}

/** Evaporation on the log scale, with the variance that what was not said adds. */
export interface DryingRate {
  readonly logRate: number;
  readonly addedVariance: number;
  /** What was not said, and what that adds. */
  readonly unsaid: readonly { readonly piece: 'airC' | 'rhPercent' | 'aid'; readonly variance: number }[];
}

/** What a record may say of them: in a very dry bay one standard deviation below the mean is no humidity at all. */
const possible = { airC: [-20, 60], rhPercent: [1, 100] } as const;

/** Aid and air speed both unsaid: somewhere between closed doors and open ones, as a log-scale standard deviation. */
const unsaidAidSd = 0.15;

/**
 * The drying rate of what was said about the air; for what was not the shop's usual air with that aid stands in, still where no aid was named.
 * A missing value adds (d log rate / d value × its sd)² to the variance: the delta method, by central differences
 * one standard deviation wide, so that the curvature is averaged over the range that the value may have.
 * Units: log of kg/(m² h).
 */
export function dryingRate(said: SaidAir, usual: UsualAir): DryingRate {
  const here = usualAirWith(said.aid, usual);
  const air = fillAir(said, here);
  const unsaid: DryingRate['unsaid'][number][] = [];
  if (said.airC === undefined) unsaid.push({ piece: 'airC', variance: variance(air, 'airC', here.airC.sd) });
  if (said.rhPercent === undefined)
    unsaid.push({ piece: 'rhPercent', variance: variance(air, 'rhPercent', here.rhPercent.sd) });
  if (said.aid === undefined && said.airSpeedMs === undefined)
    unsaid.push({ piece: 'aid', variance: unsaidAidSd ** 2 });
  const addedVariance = unsaid.reduce((sum, one) => sum + one.variance, 0);
  return { logRate: Math.log(dryingRateKgPerM2h(air)), addedVariance, unsaid };
}

/** What the drying model's terms take from the air. */
export interface AirCase {
  /** Undefined where it was not said. */
  readonly aid: DryingAid | undefined;
  /** Log of its evaporation over that of the reference air. */
  readonly logAir: number;
}

export function airCase(said: SaidAir, { logRate }: DryingRate): AirCase {
  return { aid: aidOf(said), logAir: logRate - referenceLogRate };
}

/** Still air as it is in a typical bay. */
export const referenceLogRate = dryingRate({ aid: 'still-air' }, typicalAir).logRate;

/** By the terms of which aid it dries: where the air's speed was measured nothing is unsaid, and the physics has it. */
export function aidOf({ aid, airSpeedMs }: SaidAir): DryingAid | undefined {
  return aid ?? (airSpeedMs === undefined ? undefined : 'still-air');
}

function fillAir(said: SaidAir, usual: ReturnType<typeof usualAirWith>): Air {
  return {
    airC: said.airC ?? usual.airC.mean,
    rhPercent: said.rhPercent ?? usual.rhPercent.mean,
    airSpeedMs: said.airSpeedMs ?? airSpeedByAid[said.aid ?? 'still-air'],
  };
}

function variance(air: Air, field: keyof typeof possible, sd: number): number {
  const [least, most] = possible[field];
  const [low, high] = [Math.max(least, air[field] - sd), Math.min(most, air[field] + sd)];
  const logRate = (value: number) => Math.log(dryingRateKgPerM2h({ ...air, [field]: value }));
  return (((logRate(high) - logRate(low)) / (high - low)) * sd) ** 2;
}
