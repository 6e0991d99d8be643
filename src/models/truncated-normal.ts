import { HALF_LOG_2PI, logNormalInterval } from '../inference/normal.ts';
import type { Moments } from './expected-max.ts';

/**
 * Mean and variance of a normal known to lie between bounds: what a forecast becomes once a coarse reading is seen.
 * Equal bounds are the reading itself, whatever the forecast was; infinite ones leave the forecast as it is.
 * Densities over the interval's probability are taken as exp(log − log), so that a reading far from the forecast stays finite.
 */
export function truncatedNormal(forecast: Moments, lower: number, upper: number): Moments {
  if (lower === upper) return { mean: lower, variance: 0 };
  const sd = Math.sqrt(forecast.variance);
  const [a, b] = [(lower - forecast.mean) / sd, (upper - forecast.mean) / sd];
  const logProbability = logNormalInterval(a, b);
  const [atA, atB] = [densityOver(a, logProbability), densityOver(b, logProbability)];
  const shift = atA - atB;
  const spread = 1 + times(a, atA) - times(b, atB) - shift ** 2;
  const width = upper - lower;
  return {
    mean: Math.min(upper, Math.max(lower, forecast.mean + sd * shift)),
    // Far out the terms cancel to rounding; no normal in an interval varies more than the uniform would over it, nor than it did before.
    variance: Math.min(forecast.variance * Math.min(1, Math.max(0, spread)), width ** 2 / 12),
  };
}

function densityOver(z: number, logProbability: number): number {
  return Number.isFinite(z) ? Math.exp(-0.5 * z * z - HALF_LOG_2PI - logProbability) : 0;
}

function times(z: number, density: number): number {
  return Number.isFinite(z) ? z * density : 0;
}
