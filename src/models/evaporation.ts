import type { DryingAid } from '../domain/vocabulary.ts';
import { saturationKpa, vapourKpa, wetBulbC } from './psychrometrics.ts';

/** Air over the wet cloth as the models take it: every field filled. */
export interface Air {
  readonly airC: number;
  readonly rhPercent: number;
  readonly airSpeedMs: number;
}

/** Latent heat that the rules of thumb were set with, kJ/kg: water at about 30 °C; 1 % off at 20 °C, far inside the model's error. */
const latentHeatKjPerKg = 2430;

/** Above this the vapour deficit is smaller than any hygrometer's error, and the relation would answer with months. */
const fullestAirPercent = 97;

/** Air speed over the work that an aid brings about, m/s. Common practice, no source. */
export const airSpeedByAid: Readonly<Record<DryingAid, number>> = {
  'still-air': 0.1,
  'open-doors': 0.4,
  fan: 1.5,
  dehumidifier: 0.25,
  'warm-room': 0.15,
  sun: 0.3,
};

/**
 * Water that a wet surface gives off to moving air: E = 3600 (0.089 + 0.0782 v)(p_surface − p_air) / Y.
 * Fitted to pools: an upper bound for wet cloth, which is why the drying model multiplies it by what its shop sees.
 * Units: kPa, m/s and kJ/kg in; kg/(m² h) out, which is mm of water an hour.
 * Source: ASHRAE Handbook HVAC Applications, natatoriums (after Carrier 1918), SI form.
 * Checked: tests/references/evaporation.test.ts
 */
export function evaporationKgPerM2h(
  surfaceKpa: number,
  airKpa: number,
  airSpeedMs: number,
  latentHeat: number,
): number {
  return (3600 * (0.089 + 0.0782 * airSpeedMs) * (surfaceKpa - airKpa)) / latentHeat;
}

/** Evaporation in given air, kg/(m² h), from a surface that has cooled to the wet bulb: no heat but the air's own. */
export function dryingRateKgPerM2h(air: Air): number {
  const rhPercent = Math.min(air.rhPercent, fullestAirPercent);
  const surfaceKpa = saturationKpa(wetBulbC(air.airC, rhPercent));
  return evaporationKgPerM2h(surfaceKpa, vapourKpa(air.airC, rhPercent), air.airSpeedMs, latentHeatKjPerKg);
}
