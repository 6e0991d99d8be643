import { dot } from './dot.ts';
import { type MarginalGradient, type MarginalPoint, marginalAt, marginalGradient, predictedMode } from './marginal.ts';
import type { ModeFailure } from './mode.ts';
import type { SpreadModel } from './spread-model.ts';

const MAX_ITERATIONS = 100;
const MAX_SHORTENINGS = 12;
/** No spread moves by more than a factor e² in one step: the approximation behind the step does not reach further. */
const LONGEST_MOVE = 2;
/**
 * Differences of the marginal below this, and below a relative rounding, are the last digits of Newton's method, in log |H| above all: there the
 * slope decides whether a step is taken.
 */
const LAST_DIGITS = 1e-6;
const ROUNDING = 1e-10;

export interface SpreadStart {
  readonly logSpreads: Float64Array;
  readonly coefficients: Float64Array;
  /** What is known of the curvature, as its inverse, m × m. */
  readonly inverseHessian?: Float64Array;
}

export interface SpreadMaximum extends MarginalGradient {
  readonly point: MarginalPoint;
  readonly inverseHessian: Float64Array;
  readonly evaluations: number;
  readonly newtonIterations: number;
}

type SearchFailure = ModeFailure & { readonly evaluations: number };

type Visited = MarginalGradient & { readonly point: MarginalPoint };

/**
 * Maximises the Laplace marginal over the log spreads by BFGS with the analytic gradient and a backtracking line search.
 * `gain` is the rise still to be expected at which the search ends: 1e-8 puts a spread within 1e-4 of its standard deviation.
 *
 * **Source** J. Nocedal, S. J. Wright, Numerical Optimization (2006), chapter 6; acceptance near the optimum by the slope after
 * W. W. Hager, H. Zhang, SIAM J. Optim. 16 (2005) 170–192.
 * **Checked** tests/references/mixed.test.ts, tests/inference/marginal.test.ts
 */
export function maximiseSpreads(model: SpreadModel, start: SpreadStart, gain: number): SpreadMaximum | SearchFailure {
  const n = model.nSpreads;
  const first = marginalAt(model, start.logSpreads, start.coefficients);
  if (!('value' in first)) return { ...first, evaluations: 1 };
  let current: Visited = { point: first, ...marginalGradient(model, first) };
  let evaluations = 1;
  let newtonIterations = first.mode.iterations;
  let inverseHessian = start.inverseHessian ?? startingInverse(model);

  for (let iteration = 0; iteration < MAX_ITERATIONS; iteration++) {
    const direction = limited(product(inverseHessian, current.gradient, n));
    const slope = dot(direction, current.gradient);
    if (!(slope > 2 * gain)) return { ...current, inverseHessian, evaluations, newtonIterations };
    const found = lineSearch(model, current, direction, slope);
    evaluations += found.evaluations;
    newtonIterations += found.newtonIterations;
    if (!found.next) {
      const negligible = slope <= 2 * ROUNDING * (1 + Math.abs(current.point.value));
      return negligible
        ? { ...current, inverseHessian, evaluations, newtonIterations }
        : notConverged(current, evaluations);
    }
    inverseHessian = updated(inverseHessian, current, found.next, n);
    current = found.next;
  }
  return notConverged(current, evaluations);
}

function notConverged(current: Visited, evaluations: number): SearchFailure {
  const { iterations, gradientNorm } = current.point.mode;
  return { status: 'not-converged', iterations, gradientNorm, evaluations };
}

function lineSearch(model: SpreadModel, from: Visited, direction: Float64Array, slope: number) {
  let length = 1;
  let newtonIterations = 0;
  for (let evaluations = 1; evaluations <= MAX_SHORTENINGS; evaluations++) {
    const target = from.point.logSpreads.map((value, k) => value + length * direction[k]);
    const point = marginalAt(model, target, predictedMode(from.point, from.modeSlopes, target));
    newtonIterations += 'mode' in point ? point.mode.iterations : point.iterations;
    if ('value' in point) {
      const rise = point.value - from.point.value;
      const enough = rise >= 1e-4 * length * slope;
      if (enough || Math.abs(rise) <= LAST_DIGITS + ROUNDING * Math.abs(from.point.value)) {
        const next: Visited = { point, ...marginalGradient(model, point) };
        if (enough || Math.abs(dot(next.gradient, direction)) <= 0.9 * slope)
          return { next, evaluations, newtonIterations };
      }
      length *= shortening(rise, length * slope);
    } else {
      length *= 0.25;
    }
  }
  return { next: undefined, evaluations: MAX_SHORTENINGS, newtonIterations };
}

/** Where the parabola through the start, its slope and the failed step has its top, kept within a tenth and a half. */
function shortening(rise: number, expected: number): number {
  return Math.min(0.5, Math.max(0.1, (0.5 * expected) / (expected - rise)));
}

/** Rough curvatures: 2 a row for log sigma, one a level for log tau, and what the priors hold. */
function startingInverse(model: SpreadModel): Float64Array {
  const n = model.nSpreads;
  const result = new Float64Array(n * n);
  model.problem.groups.forEach((group, g) => {
    result[g * n + g] = 1 / (2 + group.count);
  });
  if (!model.sigmaKnown) {
    const prior = model.estimate === 'posterior' ? model.problem.sigma.logSd ** -2 : 0;
    result[n * n - 1] = 1 / (1 + prior + 2 * model.nObs);
  }
  return result;
}

/** The BFGS update of the inverse, left out where the slope did not fall along the step. */
function updated(inverseHessian: Float64Array, from: Visited, to: Visited, n: number): Float64Array {
  const step = to.point.logSpreads.map((value, k) => value - from.point.logSpreads[k]);
  const fall = from.gradient.map((value, k) => value - to.gradient[k]);
  const curvature = dot(step, fall);
  if (!(curvature > 1e-12 * dot(step, step))) return inverseHessian.map((entry) => 4 * entry);
  const image = product(inverseHessian, fall, n);
  const scale = (1 + dot(fall, image) / curvature) / curvature;
  return inverseHessian.map((entry, index) => {
    const i = Math.floor(index / n);
    const j = index % n;
    return entry + scale * step[i] * step[j] - (image[i] * step[j] + step[i] * image[j]) / curvature;
  });
}

function limited(direction: Float64Array): Float64Array {
  const longest = direction.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  return longest > LONGEST_MOVE ? direction.map((value) => (value * LONGEST_MOVE) / longest) : direction;
}

function product(matrix: Float64Array, vector: Float64Array, n: number): Float64Array {
  return Float64Array.from({ length: n }, (_, i) => dot(matrix.subarray(i * n, i * n + n), vector));
}
