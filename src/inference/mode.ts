import { factorise, multiply, packedLength, packedOrder, solve } from './cholesky.ts';
import { dot } from './dot.ts';
import type { RowSums } from './likelihood.ts';
import { HALF_LOG_2PI } from './normal.ts';
import { priorMean, priorPrecision, type SpreadModel, sigmaAt } from './spread-model.ts';

/** Newton's method takes a handful; scoring by the expected curvature of the t takes dozens where a small sample is nearly flat. */
const MAX_ITERATIONS = 1000;
/** From this iteration on a step leans on the one before, and is as long as its slope says: scoring alone creeps where rows pull two ways. */
const CONJUGATE_FROM = 5;
/** Within this factor of where it ends a step is long enough. */
const NEAR_ENOUGH = 1.2;
const LONGEST = 1000;
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
 * Newton's method with step halving on the penalised log-likelihood; where that has not ended soon, conjugate gradients with the precision as
 * their preconditioner.
 * The last step is taken without another pass over the rows: it is so short that the precision at its start serves.
 *
 * **Source** J. Nocedal, S. J. Wright, Numerical Optimization (2006), sections 3.3 and 5.2 (Polak and Ribière, restarted where it does not climb).
 * **Returns** a failure by name where the precision is singular, a sum is not finite, or no step gains.
 * **Checked** tests/inference/fit.test.ts (zero gradient at the mode), tests/references/*.test.ts
 */
export function findMode(model: SpreadModel, logSpreads: Float64Array, start: Float64Array): Mode | ModeFailure {
  const n = model.nColumns;
  const joint = jointDensity(model, logSpreads);
  const factor = new Float64Array(packedLength(n));
  let current = emptyState(n);
  let next = emptyState(n);
  let further: State | undefined;
  current.coefficients.set(start);
  joint(current);
  let former: Climb | undefined;

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
    const climb = iteration < CONJUGATE_FROM ? undefined : climbAfter(former, current.gradient, step, decrement);
    if (last || !tryStep(joint, current, climb?.direction ?? step, next)) {
      if (decrement > ROUNDING * (1 + Math.abs(current.logJoint))) return { status: 'not-converged', ...trouble };
      move(current.coefficients, step, 1, current.coefficients);
      const logJoint = current.logJoint + 0.5 * decrement;
      const { coefficients, precision, gradientBySigma } = current;
      const bySigma = current.bySigma + dot(gradientBySigma, step);
      const end = { logJoint, bySigma, iterations: iteration, gradientNorm };
      return { status: 'found', coefficients, precision, factor, gradientBySigma, ...end };
    }
    if (climb !== undefined) {
      further ??= emptyState(n);
      if (toItsEnd(joint, current, next, further)) [next, further] = [further, next];
    }
    former = climb;
    [current, next] = [next, current];
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

/** One step of conjugate gradients: where it leads, and what the next one needs of it. */
interface Climb {
  readonly direction: Float64Array;
  readonly gradient: Float64Array;
  readonly decrement: number;
}

function climbAfter(former: Climb | undefined, of: Float64Array, step: Float64Array, decrement: number): Climb {
  const gradient = of.slice();
  if (former === undefined) return { direction: step, gradient, decrement };
  const lean = Math.max(0, (decrement - dot(step, former.gradient)) / former.decrement);
  const direction = step.map((value, j) => value + lean * former.direction[j]);
  return { direction: dot(direction, gradient) > 0 ? direction : step, gradient, decrement };
}

/** Along the step just taken, to where its slope falls to nothing; true where that gained more than the step. */
function toItsEnd(joint: (state: State) => void, from: State, to: State, into: State): boolean {
  const step = to.coefficients.map((value, j) => value - from.coefficients[j]);
  const slope = dot(step, from.gradient);
  const fall = slope - dot(step, to.gradient);
  const length = fall > 0 ? Math.min(LONGEST, slope / fall) : LONGEST;
  if (length < NEAR_ENOUGH && length > 1 / NEAR_ENOUGH) return false;
  move(from.coefficients, step, length, into.coefficients);
  joint(into);
  return into.logJoint > to.logJoint;
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

const norm = (a: Float64Array): number => Math.sqrt(dot(a, a));
