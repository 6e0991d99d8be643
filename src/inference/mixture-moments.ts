import { inverse, packedLength } from './cholesky.ts';
import type { Posterior } from './types.ts';

export interface MixtureMoments {
  readonly mean: Float64Array;
  readonly covariance: Float64Array;
}

/** Every estimate asks for those of the same few posteriors, and each takes the inverse of a matrix a point. */
const kept = new WeakMap<Posterior, MixtureMoments>();

/** Mean and packed covariance of the coefficients: within the points and between them. Computed once a posterior; not to be written to. */
export function mixtureMoments(posterior: Posterior): MixtureMoments {
  const known = kept.get(posterior) ?? momentsOf(posterior);
  kept.set(posterior, known);
  return known;
}

/** Mean of sigma² over the points: what a forecast's own error adds to its variance. */
export function meanSigma2({ points }: Posterior): number {
  return points.reduce((sum, { weight, sigma }) => sum + weight * sigma ** 2, 0);
}

function momentsOf({ points, nColumns }: Posterior): MixtureMoments {
  const mean = new Float64Array(nColumns);
  for (const { weight, mode } of points) for (let j = 0; j < nColumns; j++) mean[j] += weight * mode[j];
  const covariance = new Float64Array(packedLength(nColumns));
  for (const { weight, mode, precisionFactor } of points) {
    const within = inverse(precisionFactor, nColumns);
    for (let i = 0; i < nColumns; i++)
      for (let j = 0; j <= i; j++) {
        const at = packedLength(i) + j;
        covariance[at] += weight * (within[at] + (mode[i] - mean[i]) * (mode[j] - mean[j]));
      }
  }
  return { mean, covariance };
}
