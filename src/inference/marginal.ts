import { factorise, inverse, logDeterminant, multiply, packedLength } from './cholesky.ts';
import type { LeverageSums } from './likelihood.ts';
import { findMode, type Mode, type ModeFailure } from './mode.ts';
import { HALF_LOG_2PI } from './normal.ts';
import { addSpreadPrior, type SpreadModel, sigmaAt, sigmaShare } from './spread-model.ts';

/** The Laplace marginal at one setting of the log spreads. */
export interface MarginalPoint {
  readonly logSpreads: Float64Array;
  /** Laplace approximation of log p(y, spreads), the density of the spreads on the log scale. */
  readonly value: number;
  readonly mode: Mode;
}

export interface MarginalGradient {
  /** ∂value/∂log spread. */
  readonly gradient: Float64Array;
  /** ∂mode/∂log spread, one vector a spread: where to start the next search for a mode. */
  readonly modeSlopes: readonly Float64Array[];
}

/**
 * log p(y, spreads) ≈ log p(y, b* | spreads) + log p(spreads) + (k/2) log 2π − ½ log |H|, b* the mode, H the precision of the k
 * coefficients that are integrated (ml: the groups' alone).
 *
 * **Source** H. Rue, S. Martino, N. Chopin, Approximate Bayesian inference for latent Gaussian models, JRSS B 71 (2009) 319–392, section 3.1.
 */
export function marginalAt(
  model: SpreadModel,
  logSpreads: Float64Array,
  start: Float64Array,
): MarginalPoint | ModeFailure {
  const mode = findMode(model, logSpreads, start);
  if (mode.status !== 'found') return mode;
  const { factor, first } = integratedFactor(model, mode);
  const integrated = model.nColumns - first;
  const prior = addSpreadPrior(model, logSpreads, new Float64Array(model.nSpreads));
  const value = mode.logJoint + prior + integrated * HALF_LOG_2PI - 0.5 * logDeterminant(factor, integrated);
  if (!Number.isFinite(value))
    return { status: 'non-finite', iterations: mode.iterations, gradientNorm: mode.gradientNorm };
  return { logSpreads, value, mode };
}

/**
 * Gradient of the Laplace marginal in at most one more pass over the rows: the mode's own movement cancels in the joint density (it is a maximum),
 * and enters log |H| through the curvature of each row, weighted by its leverage.
 *
 * **Checked** tests/inference/marginal.test.ts, against central differences
 */
export function marginalGradient(model: SpreadModel, point: MarginalPoint): MarginalGradient {
  const { logSpreads, mode } = point;
  const n = model.nColumns;
  const fullCovariance = inverse(mode.factor, n);
  const covariance = integratedCovariance(model, mode, fullCovariance);
  const leverage = leverageSums(model, mode, logSpreads, covariance);
  const gradient = new Float64Array(model.nSpreads);
  addSpreadPrior(model, logSpreads, gradient);

  const modeSlopes = model.problem.groups.map((group, g) => {
    const precision = Math.exp(-2 * logSpreads[g]);
    const pull = new Float64Array(n);
    for (let j = group.first; j < group.first + group.count; j++) {
      const u = mode.coefficients[j];
      pull[j] = 2 * precision * u;
      gradient[g] += precision * (u * u + covariance[packedLength(j) + j]) - 1;
    }
    return multiply(fullCovariance, n, pull);
  });
  if (!model.sigmaKnown) {
    const share = sigmaShare(model, sigmaAt(model, logSpreads));
    gradient[model.nSpreads - 1] += share * (mode.bySigma - 0.5 * leverage.bySigma);
    const bySigma = mode.gradientBySigma.map((value) => share * value);
    modeSlopes.push(multiply(fullCovariance, n, bySigma));
  }
  modeSlopes.forEach((slope, k) => {
    for (let j = 0; j < n; j++) gradient[k] -= 0.5 * leverage.byColumn[j] * slope[j];
  });
  return { gradient, modeSlopes };
}

/** The mode to expect at other spreads, to first order. */
export function predictedMode(
  point: MarginalPoint,
  slopes: readonly Float64Array[],
  logSpreads: Float64Array,
): Float64Array {
  const predicted = point.mode.coefficients.slice();
  slopes.forEach((slope, k) => {
    const move = logSpreads[k] - point.logSpreads[k];
    for (let j = 0; j < predicted.length; j++) predicted[j] += move * slope[j];
  });
  return predicted;
}

function leverageSums(
  model: SpreadModel,
  mode: Mode,
  logSpreads: Float64Array,
  covariance: Float64Array,
): LeverageSums {
  const sums = { bySigma: 0, byColumn: new Float64Array(model.nColumns) };
  if (firstIntegrated(model) === model.nColumns) return sums;
  const sigma = sigmaAt(model, logSpreads);
  for (const part of model.parts) part.addLeverageTo(mode.coefficients, sigma, covariance, sums);
  return sums;
}

const firstIntegrated = (model: SpreadModel): number => (model.estimate === 'ml' ? model.nFixed : 0);

/** Factor of the integrated block of H, which begins at column `first`. */
function integratedFactor(model: SpreadModel, mode: Mode): { factor: Float64Array; first: number } {
  if (model.estimate !== 'ml') return { factor: mode.factor, first: 0 };
  const first = firstIntegrated(model);
  const count = model.nColumns - first;
  const block = new Float64Array(packedLength(count));
  for (let i = 0; i < count; i++) {
    for (let j = 0; j <= i; j++) block[packedLength(i) + j] = mode.precision[packedLength(first + i) + first + j];
  }
  factorise(block, count, block);
  return { factor: block, first };
}

/** The inverse of the integrated block of H, zero elsewhere. */
function integratedCovariance(model: SpreadModel, mode: Mode, full: Float64Array): Float64Array {
  if (model.estimate !== 'ml') return full;
  const { factor, first } = integratedFactor(model, mode);
  const count = model.nColumns - first;
  const block = inverse(factor, count);
  const covariance = new Float64Array(packedLength(model.nColumns));
  for (let i = 0; i < count; i++) {
    for (let j = 0; j <= i; j++) covariance[packedLength(first + i) + first + j] = block[packedLength(i) + j];
  }
  return covariance;
}
