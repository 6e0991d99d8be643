import type { DryingRate } from '../drying-air.ts';
import type { ModelDraws } from './model-draws.ts';
import { normalDraws } from './noise.ts';
import type { PlannedWork } from './planned-work.ts';

/** Hours until the slowest section is dry, one a draw: each section's water over the evaporation, by its own cloth and person. */
export function simulateDrying(
  work: PlannedWork,
  draws: ModelDraws,
  logLitresPerM2: readonly Float64Array[],
  rate: DryingRate,
): Float64Array {
  const nDraws = draws.sigma.length;
  const error = normalDraws('dryingError', nDraws);
  const air = normalDraws('air', nDraws);
  const airSd = Math.sqrt(rate.addedVariance);
  const people = work.namedTechnicians.map((key) => (key === undefined ? draws.whoeverGetsIt : draws.technician(key)));
  return Float64Array.from({ length: nDraws }, (_, d) => {
    let slowest = Number.NEGATIVE_INFINITY;
    for (let s = 0; s < people.length; s++)
      slowest = Math.max(slowest, logLitresPerM2[s][d] + draws.bases[s][d] + people[s][d]);
    return Math.exp(slowest - rate.logRate + draws.sigma[d] * error[d] + airSd * air[d]);
  });
}
