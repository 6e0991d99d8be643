import { packedLength } from './cholesky.ts';
import { normalQuantile } from './normal.ts';
import { priorMean, priorPrecision, type SpreadModel, sigmaAt, tauAt } from './spread-model.ts';
import type { PosteriorPoint } from './types.ts';

const N_POINTS = 64;
/** Of the odd multipliers the one whose coordinates are least correlated in three dimensions, squares included (below 0.09). */
const MULTIPLIER = 7;

/**
 * The posterior of no records: spreads at a fixed quasi-random set from their priors, equal weights; at each the coefficients' prior.
 * The set is a lattice of one generator: each spread runs through the 64 midpoints of its own distribution, so that its moments come out
 * right (mean squares to 2 %), and the powers of the multiplier keep the spreads apart from each other.
 *
 * **Source** N. M. Korobov's lattices; see H. Niederreiter, Random Number Generation and Quasi-Monte Carlo Methods (1992), chapter 5.
 * **Checked** tests/inference/fit.test.ts
 */
export function priorPoints(model: SpreadModel): readonly PosteriorPoint[] {
  const count = model.nSpreads === 0 ? 1 : N_POINTS;
  const mode = priorMean(model);
  return Array.from({ length: count }, (_, k) => {
    const logSpreads = priorSpreads(model, latticePoint(k, model.nSpreads));
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

function latticePoint(k: number, m: number): Float64Array {
  return Float64Array.from({ length: m }, (_, d) => (((k * MULTIPLIER ** d) % N_POINTS) + 0.5) / N_POINTS);
}

function diagonalFactor(precision: Float64Array): Float64Array {
  const factor = new Float64Array(packedLength(precision.length));
  precision.forEach((value, j) => {
    factor[packedLength(j) + j] = Math.sqrt(value);
  });
  return factor;
}
