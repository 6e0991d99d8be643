import type { DryingRate } from '../drying-air.ts';
import { referenceLogWater } from '../terms/drying-terms.ts';
import { addDraws, expDraws, largestDraws } from './draw-arrays.ts';
import type { ModelDraws } from './model-draws.ts';
import { normalDraws } from './noise.ts';

/** Hours of the day until the slowest section is dry, one a draw: each section's water over the evaporation, by its own cloth and person. */
export function simulateDrying(
  draws: ModelDraws,
  logLitresPerM2: readonly Float64Array[],
  rate: DryingRate,
): Float64Array {
  const nDraws = draws.sigma.length;
  const [slope] = draws.coefficients;
  const bySection = logLitresPerM2.map((logLitres, s) => overLitres(logLitres, slope, draws.levels[s]));
  const logHours = largestDraws(bySection);
  addDraws(logHours, normalDraws('dryingError', nDraws), 1, draws.sigma);
  addDraws(logHours, normalDraws('air', nDraws), Math.sqrt(rate.addedVariance));
  for (let d = 0; d < nDraws; d++) logHours[d] -= rate.logRate;
  return expDraws(logHours);
}

/** In proportion to the litres but for what the slope adds, then the section's own level. */
function overLitres(logLitres: Float64Array, slope: Float64Array, level: Float64Array): Float64Array {
  const logHours = new Float64Array(logLitres.length);
  for (let d = 0; d < logHours.length; d++)
    logHours[d] = logLitres[d] + slope[d] * (logLitres[d] - referenceLogWater) + level[d];
  return logHours;
}
