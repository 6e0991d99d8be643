import { packedLength } from './cholesky.ts';
import { normalQuantile } from './normal.ts';
import { priorMean, priorPrecision, type SpreadModel, sigmaAt, tauAt } from './spread-model.ts';
import type { PosteriorPoint } from './types.ts';

const N_POINTS = 64;

/**
 * The posterior of no records: spreads at a fixed quasi-random set from their priors, equal weights; at each the coefficients' prior.
 * A centred additive recurrence fills the unit cube evenly in any number of dimensions.
 *
 * **Source** M. Roberts's generalised golden ratio sequence, from memory: frac(½ + k g^−d), g the root of g^(m+1) = g + 1.
 */
export function priorPoints(model: SpreadModel): readonly PosteriorPoint[] {
  const count = model.nSpreads === 0 ? 1 : N_POINTS;
  const mode = priorMean(model);
  return Array.from({ length: count }, (_, k) => {
    const logSpreads = priorSpreads(model, evenPoint(k + 1, model.nSpreads));
    return {
      weight: 1 / count,
      tau: tauAt(model, logSpreads),
      sigma: sigmaAt(model, logSpreads),
      mode,
      precisionFactor: diagonalFactor(priorPrecision(model, logSpreads)),
    };
  });
}

function priorSpreads(model: SpreadModel, uniform: Float64Array): Float64Array {
  const { groups, sigma } = model.problem;
  return uniform.map((u, k) =>
    k < groups.length
      ? Math.log(groups[k].tauScale * normalQuantile(0.5 + 0.5 * u))
      : sigma.logMean + sigma.logSd * normalQuantile(u),
  );
}

function evenPoint(k: number, m: number): Float64Array {
  let ratio = 2;
  for (let step = 0; step < 60; step++) ratio = (1 + ratio) ** (1 / (m + 1));
  return Float64Array.from({ length: m }, (_, d) => (0.5 + k * ratio ** -(d + 1)) % 1);
}

function diagonalFactor(precision: Float64Array): Float64Array {
  const factor = new Float64Array(packedLength(precision.length));
  precision.forEach((value, j) => {
    factor[packedLength(j) + j] = Math.sqrt(value);
  });
  return factor;
}
