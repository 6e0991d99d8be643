import type { DryingAid } from '../domain/vocabulary.ts';
import { type Air, airSpeedByAid, dryingRateKgPerM2h } from './evaporation.ts';

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

/** A heated bay; its spread over seasons and towns is that of the standard deviations. Common practice, no source. */
const typicalBay = { airC: 20, airCSd: 4, rhPercent: 50, rhPercentSd: 12, airSpeedMs: airSpeedByAid['still-air'] };

/** Aid and air speed both unsaid: somewhere between closed doors and open ones, as a log-scale standard deviation. */
const unsaidAidSd = 0.15;

/**
 * The drying rate of what was said about the air, the typical bay standing in for what was not.
 * A missing value adds (d log rate / d value × its sd)² to the variance: the delta method, by central differences
 * one standard deviation wide, so that the curvature is averaged over the range that the value may have.
 * Units: log of kg/(m² h).
 */
export function dryingRate(said: SaidAir): DryingRate {
  const air = fillAir(said);
  const unsaid: DryingRate['unsaid'][number][] = [];
  if (said.airC === undefined) unsaid.push({ piece: 'airC', variance: variance(air, 'airC', typicalBay.airCSd) });
  if (said.rhPercent === undefined)
    unsaid.push({ piece: 'rhPercent', variance: variance(air, 'rhPercent', typicalBay.rhPercentSd) });
  if (said.aid === undefined && said.airSpeedMs === undefined)
    unsaid.push({ piece: 'aid', variance: unsaidAidSd ** 2 });
  const addedVariance = unsaid.reduce((sum, one) => sum + one.variance, 0);
  return { logRate: Math.log(dryingRateKgPerM2h(air)), addedVariance, unsaid };
}

function fillAir(said: SaidAir): Air {
  return {
    airC: said.airC ?? typicalBay.airC,
    rhPercent: said.rhPercent ?? typicalBay.rhPercent,
    airSpeedMs: said.airSpeedMs ?? (said.aid === undefined ? typicalBay.airSpeedMs : airSpeedByAid[said.aid]),
  };
}

function variance(air: Air, field: 'airC' | 'rhPercent', sd: number): number {
  const above = Math.log(dryingRateKgPerM2h({ ...air, [field]: air[field] + sd }));
  const below = Math.log(dryingRateKgPerM2h({ ...air, [field]: air[field] - sd }));
  return ((above - below) / 2) ** 2;
}
