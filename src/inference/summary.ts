import { inverse, packedLength } from './cholesky.ts';
import { normalProbability, normalQuantile } from './normal.ts';
import type { Posterior } from './types.ts';

export interface Summary {
  readonly mean: number;
  readonly sd: number;
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
}

interface PosteriorSummary {
  /** One a column. */
  readonly coefficients: readonly Summary[];
  /** One a group. */
  readonly tau: readonly Summary[];
  readonly sigma: Summary;
}

const Z95 = normalQuantile(0.95);

/**
 * Every coefficient and spread over the whole mixture. Coefficients: exact quantiles of the mixture of normals.
 * Spreads: log-normal by the mixture's mean and standard deviation of their logarithms, since a few design points have no quantiles of their own.
 */
export function coefficientSummary(posterior: Posterior): PosteriorSummary {
  const { points, nColumns } = posterior;
  const weights = points.map((point) => point.weight);
  const covariances = points.map((point) => inverse(point.precisionFactor, nColumns));
  const coefficients = Array.from({ length: nColumns }, (_, j) =>
    mixtureSummary(
      weights,
      points.map((point) => point.mode[j]),
      covariances.map((covariance) => Math.sqrt(covariance[packedLength(j) + j])),
    ),
  );
  const tau = Array.from(points[0].tau, (_, g) =>
    spreadSummary(
      weights,
      points.map((point) => point.tau[g]),
    ),
  );
  return {
    coefficients,
    tau,
    sigma: spreadSummary(
      weights,
      points.map((point) => point.sigma),
    ),
  };
}

function mixtureSummary(weights: readonly number[], means: readonly number[], sds: readonly number[]): Summary {
  const { mean, variance } = moments(weights, means);
  const sd = Math.sqrt(variance + weights.reduce((sum, weight, k) => sum + weight * sds[k] ** 2, 0));
  const at = (p: number): number => mixtureQuantile(p, weights, means, sds);
  return { mean, sd, p05: at(0.05), p50: at(0.5), p95: at(0.95) };
}

function spreadSummary(weights: readonly number[], values: readonly number[]): Summary {
  const natural = moments(weights, values);
  const logs = moments(weights, values.map(Math.log));
  const at = (z: number): number => Math.exp(logs.mean + z * Math.sqrt(logs.variance));
  return { mean: natural.mean, sd: Math.sqrt(natural.variance), p05: at(-Z95), p50: at(0), p95: at(Z95) };
}

function moments(weights: readonly number[], values: readonly number[]) {
  const mean = weights.reduce((sum, weight, k) => sum + weight * values[k], 0);
  return { mean, variance: weights.reduce((sum, weight, k) => sum + weight * (values[k] - mean) ** 2, 0) };
}

/** Bisection between the lowest and the highest quantile of the parts. */
function mixtureQuantile(
  p: number,
  weights: readonly number[],
  means: readonly number[],
  sds: readonly number[],
): number {
  const parts = means.map((mean, k) => mean + sds[k] * normalQuantile(p));
  let low = Math.min(...parts);
  let high = Math.max(...parts);
  for (let step = 0; step < 60 && high - low > 0; step++) {
    const middle = 0.5 * (low + high);
    const below = weights.reduce((sum, weight, k) => sum + weight * normalProbability((middle - means[k]) / sds[k]), 0);
    if (below < p) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}
