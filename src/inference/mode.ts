import { factorise, multiply, packedLength, packedOrder, solve } from './cholesky.ts';
import type { RowSums } from './likelihood.ts';
import { HALF_LOG_2PI } from './normal.ts';
import { priorMean, priorPrecision, type SpreadModel, sigmaAt } from './spread-model.ts';

/** Newton's method takes a handful; scoring by the expected curvature of the t takes hundreds where a small sample is nearly flat. */
const MAX_ITERATIONS = 1000;
/** From this iteration on a step that gains is tried at twice its length, and again: scoring creeps where rows pull two ways. */
const LENGTHEN_FROM = 12;
const MAX_DOUBLINGS = 10;
const MAX_HALVINGS = 30;
/**
 * Twice the gain still to be had from a Newton step at which it is the last one, and the same a row: a step of 1e-6 standard deviations, or of 1e-7 of
 * a row's own error. The precision at its start is off by as little; the mode by about the square.
 */
const LAST_DECREMENT = 1e-12;
const LAST_DECREMENT_PER_ROW = 1e-14;
/** A step may seem to lose this much, relatively: with less, the rounding of the sum would refuse the optimum itself. */
const ROUNDING = 1e-10;

/** The coefficients' mode given the spreads. */
export interface Mode {
  readonly status: 'found';
  readonly coefficients: Float64Array;
  /** log-likelihood plus log prior of the coefficients there. */
  readonly logJoint: number;
  /** Packed precision and its factor. */
  readonly precision: Float64Array;
  readonly factor: Float64Array;
  /** ∂log-likelihood/∂log sigma there, and how the coefficients' gradient moves with log sigma. */
  readonly bySigma: number;
  readonly gradientBySigma: Float64Array;
  readonly iterations: number;
  readonly gradientNorm: number;
}

export interface ModeFailure {
  readonly status: 'singular' | 'non-finite' | 'not-converged';
  readonly column?: number;
  readonly iterations: number;
  readonly gradientNorm: number;
}

interface State extends RowSums {
  readonly coefficients: Float64Array;
  logJoint: number;
}

/**
 * Newton's method with step halving on the penalised log-likelihood.
 * The last step is taken without another pass over the rows: it is so short that the precision at its start serves.
 *
 * **Returns** a failure by name where the precision is singular, a sum is not finite, or no step gains.
 * **Checked** tests/inference/fit.test.ts (zero gradient at the mode), tests/references/*.test.ts
 */
export function findMode(model: SpreadModel, logSpreads: Float64Array, start: Float64Array): Mode | ModeFailure {
  const n = model.nColumns;
  const joint = jointDensity(model, logSpreads);
  const factor = new Float64Array(packedLength(n));
  let current = emptyState(n);
  let next = emptyState(n);
  current.coefficients.set(start);
  joint(current);

  for (let iteration = 1; iteration <= MAX_ITERATIONS; iteration++) {
    const gradientNorm = norm(current.gradient);
    const trouble = { iterations: iteration, gradientNorm };
    if (!Number.isFinite(current.logJoint + gradientNorm)) return { status: 'non-finite', ...trouble };
    const column = factorise(current.precision, n, factor);
    if (column >= 0) return { status: 'singular', column, ...trouble };
    const step = current.gradient.slice();
    solve(factor, n, step);
    const decrement = dot(step, current.gradient);
    if (!Number.isFinite(decrement)) return { status: 'non-finite', ...trouble };
    const last = decrement <= Math.max(LAST_DECREMENT, LAST_DECREMENT_PER_ROW * model.nObs);
    if (last || !tryStep(joint, current, step, next)) {
      if (decrement > ROUNDING * (1 + Math.abs(current.logJoint))) return { status: 'not-converged', ...trouble };
      move(current.coefficients, step, 1, current.coefficients);
      const logJoint = current.logJoint + 0.5 * decrement;
      const { coefficients, precision, gradientBySigma } = current;
      const bySigma = current.bySigma + dot(gradientBySigma, step);
      const end = { logJoint, bySigma, iterations: iteration, gradientNorm };
      return { status: 'found', coefficients, precision, factor, gradientBySigma, ...end };
    }
    [current, next] = [next, current];
    if (iteration >= LENGTHEN_FROM) [current, next] = lengthen(joint, current, step, next);
  }
  return { status: 'not-converged', iterations: MAX_ITERATIONS, gradientNorm: norm(current.gradient) };
}

/** Fills a state's density (up to the constant of what is known of terms together), gradient and precision at its coefficients. */
function jointDensity(model: SpreadModel, logSpreads: Float64Array): (state: State) => void {
  const precision = priorPrecision(model, logSpreads);
  const mean = priorMean(model);
  const sigma = sigmaAt(model, logSpreads);
  return (state) => {
    state.gradient.fill(0);
    state.precision.fill(0);
    state.bySigma = 0;
    state.gradientBySigma.fill(0);
    let sum = 0;
    for (const part of model.parts) sum += part.addTo(state.coefficients, sigma, state);
    for (let j = 0; j < model.nColumns; j++) {
      if (precision[j] === 0) continue;
      const deviation = state.coefficients[j] - mean[j];
      sum += 0.5 * Math.log(precision[j]) - HALF_LOG_2PI - 0.5 * precision[j] * deviation * deviation;
      state.gradient[j] -= precision[j] * deviation;
      state.precision[packedLength(j) + j] += precision[j];
    }
    state.logJoint = sum + addKnown(model, mean, state);
  };
}

/** What is known of the first terms together: −½ dᵀ P d, d their deviation from their means. Their block of the packed precision is its beginning. */
function addKnown({ problem }: SpreadModel, mean: Float64Array, state: State): number {
  const known = problem.fixed.precision;
  if (known === undefined) return 0;
  const n = packedOrder(known.length);
  const deviation = Float64Array.from({ length: n }, (_, j) => state.coefficients[j] - mean[j]);
  const pull = multiply(known, n, deviation);
  for (let j = 0; j < n; j++) state.gradient[j] -= pull[j];
  for (let k = 0; k < known.length; k++) state.precision[k] += known[k];
  return -0.5 * dot(deviation, pull);
}

/** Goes on along a step that gained, twice as far each time, for as long as that gains more; the spare state comes back second. */
function lengthen(joint: (state: State) => void, from: State, step: Float64Array, spare: State): [State, State] {
  let [best, other] = [from, spare];
  for (let doubling = 0, length = 1; doubling < MAX_DOUBLINGS; doubling++, length *= 2) {
    move(best.coefficients, step, length, other.coefficients);
    joint(other);
    if (!(other.logJoint > best.logJoint)) break;
    [best, other] = [other, best];
  }
  return [best, other];
}

function tryStep(joint: (state: State) => void, from: State, step: Float64Array, into: State): boolean {
  const floor = from.logJoint - ROUNDING * Math.abs(from.logJoint);
  for (let halving = 0, length = 1; halving < MAX_HALVINGS; halving++, length *= 0.5) {
    move(from.coefficients, step, length, into.coefficients);
    joint(into);
    if (into.logJoint >= floor) return true;
  }
  return false;
}

function emptyState(n: number): State {
  return {
    coefficients: new Float64Array(n),
    gradient: new Float64Array(n),
    precision: new Float64Array(packedLength(n)),
    bySigma: 0,
    gradientBySigma: new Float64Array(n),
    logJoint: 0,
  };
}

function move(from: Float64Array, step: Float64Array, length: number, into: Float64Array): void {
  for (let j = 0; j < from.length; j++) into[j] = from[j] + length * step[j];
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < a.length; j++) sum += a[j] * b[j];
  return sum;
}

const norm = (a: Float64Array): number => Math.sqrt(dot(a, a));
