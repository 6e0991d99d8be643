import type { PlannedJob } from '../../../src/domain/planned.ts';
import type { DryingAid } from '../../../src/domain/vocabulary.ts';

/**
 * Evaporation of a wet free surface, kg/(m² h), from the heat that the air brings to it: h (t − t wet bulb)/λ.
 * The other side of the balance from an equation in vapour pressures; the two differ by some per cent, more in moving air.
 */
export function evaporationRate(drying: PlannedJob['drying']): number {
  const { airC = 19, rhPercent = 55, aid = 'still-air', airSpeedMs } = drying ?? {};
  const heatTransfer = 6 + 3.9 * (airSpeedMs ?? speeds[aid]);
  return (3600 * heatTransfer * (airC - wetBulb(airC, rhPercent))) / 2.455e6;
}

/** Psychrometric equation with 0.000662 a kelvin at 101.325 kPa, by bisection. */
function wetBulb(airC: number, rhPercent: number): number {
  const vapour = (rhPercent / 100) * saturation(airC);
  let low = airC - 30;
  let high = airC;
  for (let i = 0; i < 40; i += 1) {
    const middle = (low + high) / 2;
    if (saturation(middle) - 0.0671 * (airC - middle) < vapour) low = middle;
    else high = middle;
  }
  return low;
}

/** kPa. **Source** Tetens' formula, from memory. */
function saturation(airC: number): number {
  return 0.6108 * Math.exp((17.27 * airC) / (airC + 237.3));
}

const speeds: Readonly<Record<DryingAid, number>> = {
  'still-air': 0.1,
  'open-doors': 0.4,
  fan: 1.4,
  dehumidifier: 0.25,
  'warm-room': 0.15,
  sun: 0.3,
};
