import { inverse, packedLength } from './cholesky.ts';
import type { Posterior } from './types.ts';

/** Mean and packed covariance of the coefficients: within the points and between them. */
export function mixtureMoments({ points, nColumns }: Posterior) {
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
