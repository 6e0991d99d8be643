import { compositeDesign, standardDeviations } from './design.ts';
import { failure, unreadable } from './fit-failure.ts';
import { type MarginalPoint, marginalAt, marginalGradient, predictedMode } from './marginal.ts';
import type { ModeFailure } from './mode.ts';
import { priorPoints } from './prior-points.ts';
import { checkProblem, unreadableRow } from './problem-check.ts';
import { maximiseSpreads, type SpreadMaximum, type SpreadStart } from './search.ts';
import { type Estimate, logSigmaOf, priorMean, type SpreadModel, sigmaAt, spreadModel, tauAt } from './spread-model.ts';
import { thinnedProblem } from './thinned.ts';
import type { FitResult, FitTrace, PosteriorPoint, RegressionProblem } from './types.ts';

export interface FitOptions {
  readonly estimate?: Estimate;
  /** Where to begin, for instance a former fit's `points[0]`. A mode of another length is not used. */
  readonly start?: { readonly tau: Float64Array; readonly sigma: number; readonly mode: Float64Array };
  /** False: the posterior at the spreads' maximum alone, a third of the work; right where many rows leave them hardly any doubt. */
  readonly integrate?: boolean | undefined;
}

/** Half the step of the central differences on the log scale. */
const DIFFERENCE = 0.005;
/** Rise of the log marginal at which the search ends. The posterior's points need the maximum to 1e-4 of a standard deviation and no closer. */
const POSTERIOR_GAIN = 1e-8;
/** The same, a row or level, for reml and ml, of which other programs' digits are asked: every spread to about 1e-9 of itself. */
const COMPARISON_GAIN = 1e-18;
/** Problems with more rows than this to be read at each step are begun on about so few of them. */
const MANY_ROWS = 20_000;
const FEW_ROWS = 4000;

/**
 * Fits a log-scale regression: Laplace approximation for the coefficients given the spreads, the spreads integrated over a central composite
 * design about their maximum on the log scale. `points[0]` is that maximum; reml and ml give it alone.
 * With no rows the points come from the priors. A sigma prior with `logSd` 0 is a known sigma.
 *
 * **Returns** the posterior, or why there is none: `singular` with the term, `non-finite`, `not-converged`.
 * **Throws** RangeError for a problem put together wrongly (see `problem-check.ts`).
 * **Source** H. Rue, S. Martino, N. Chopin, Approximate Bayesian inference for latent Gaussian models by using integrated nested Laplace
 * approximations, JRSS B 71 (2009) 319–392.
 * **Checked** tests/inference/, tests/references/regression.test.ts, survreg.test.ts, mixed.test.ts
 */
export function fitRegression(problem: RegressionProblem, options: FitOptions = {}): FitResult {
  checkProblem(problem);
  const row = unreadableRow(problem);
  if (row !== undefined) return unreadable(problem, row);
  const estimate = options.estimate ?? 'posterior';
  const model = spreadModel(problem, estimate);
  if (model.nObs === 0) return fitWithoutRows(model);

  const start = startFromFewer(model, options) ?? startingPoint(model, options);
  const maximum = maximiseSpreads(model, start, gainOf(model));
  if (!('point' in maximum)) return failure(model, maximum);
  const isIntegrated = estimate === 'posterior' && options.integrate !== false;
  const points = isIntegrated ? integrate(model, maximum) : [atMaximum(model, maximum)];
  if ('status' in points) return failure(model, points);
  return {
    status: 'fitted',
    posterior: {
      name: problem.name,
      nColumns: model.nColumns,
      error: problem.error,
      points,
      trace: traceOf(model, maximum, isIntegrated),
    },
  };
}

/** Curvature (minus second derivatives) of the log marginal about a maximum, m × m, by central differences of its gradient. */
export function spreadCurvature(model: SpreadModel, maximum: SpreadMaximum): Float64Array | ModeFailure {
  const m = model.nSpreads;
  const rows: Float64Array[] = [];
  for (let k = 0; k < m; k++) {
    const above = gradientBeside(model, maximum, k, DIFFERENCE);
    if (!(above instanceof Float64Array)) return above;
    const below = gradientBeside(model, maximum, k, -DIFFERENCE);
    if (!(below instanceof Float64Array)) return below;
    rows.push(above.map((value, j) => (below[j] - value) / (2 * DIFFERENCE)));
  }
  return Float64Array.from({ length: m * m }, (_, index) => {
    const i = Math.floor(index / m);
    const j = index % m;
    return 0.5 * (rows[i][j] + rows[j][i]);
  });
}

function gradientBeside(
  model: SpreadModel,
  maximum: SpreadMaximum,
  k: number,
  move: number,
): Float64Array | ModeFailure {
  const logSpreads = maximum.point.logSpreads.slice();
  logSpreads[k] += move;
  const point = marginalAt(model, logSpreads, predictedMode(maximum.point, maximum.modeSlopes, logSpreads));
  return 'value' in point ? marginalGradient(model, point).gradient : point;
}

function integrate(model: SpreadModel, maximum: SpreadMaximum): readonly PosteriorPoint[] | ModeFailure {
  const m = model.nSpreads;
  const curvature = spreadCurvature(model, maximum);
  if (!(curvature instanceof Float64Array)) return curvature;
  const spread = m > 0 ? standardDeviations(curvature, m) : curvature;
  const weighted: PosteriorPoint[] = [];
  for (const { z, weight } of compositeDesign(m)) {
    const logSpreads = maximum.point.logSpreads.map((value, i) => {
      let moved = value;
      for (let k = 0; k < m; k++) moved += spread[i * m + k] * z[k];
      return moved;
    });
    const isCentre = weighted.length === 0;
    const start = predictedMode(maximum.point, maximum.modeSlopes, logSpreads);
    const point = isCentre ? maximum.point : marginalAt(model, logSpreads, start);
    if (!('value' in point)) return point;
    weighted.push(posteriorPoint(model, point, weight * Math.exp(point.value - maximum.point.value)));
  }
  const total = weighted.reduce((sum, point) => sum + point.weight, 0);
  return weighted.map((point) => ({ ...point, weight: point.weight / total }));
}

function posteriorPoint(model: SpreadModel, point: MarginalPoint, weight: number): PosteriorPoint {
  return {
    weight,
    tau: tauAt(model, point.logSpreads),
    sigma: sigmaAt(model, point.logSpreads),
    mode: point.mode.coefficients,
    precisionFactor: point.mode.factor,
  };
}

const atMaximum = (model: SpreadModel, maximum: SpreadMaximum): PosteriorPoint =>
  posteriorPoint(model, maximum.point, 1);

/** The fit of few rows is a start within some standard deviations, almost for nothing. Where it fails the priors are the start. */
function startFromFewer(model: SpreadModel, options: FitOptions): SpreadStart | undefined {
  if (options.start || model.nRead <= MANY_ROWS) return undefined;
  const fewer = spreadModel(
    thinnedProblem(model.problem, Math.floor(model.problem.rows.nRows / FEW_ROWS)),
    model.estimate,
  );
  const maximum = maximiseSpreads(fewer, startingPoint(fewer, options), POSTERIOR_GAIN);
  if (!('point' in maximum)) return undefined;
  const { point, inverseHessian } = maximum;
  const scale = new Float64Array(model.nSpreads).fill(1);
  // what rows say of sigma grows with their number; what they say of tau is bounded by the levels
  if (!model.sigmaKnown) scale[model.nSpreads - 1] = Math.sqrt(fewer.nObs / model.nObs);
  return {
    logSpreads: point.logSpreads,
    coefficients: point.mode.coefficients,
    inverseHessian: inverseHessian.map(
      (value, k) => value * scale[Math.floor(k / scale.length)] * scale[k % scale.length],
    ),
  };
}

function gainOf(model: SpreadModel): number {
  if (model.estimate === 'posterior') return POSTERIOR_GAIN;
  return COMPARISON_GAIN * Math.min(model.nObs, ...model.problem.groups.map((group) => group.count));
}

function startingPoint(model: SpreadModel, { start }: FitOptions): SpreadStart {
  const { problem } = model;
  const useTau = start?.tau.length === problem.groups.length;
  const logSpreads = new Float64Array(model.nSpreads);
  problem.groups.forEach((group, g) => {
    logSpreads[g] = Math.log(useTau && start ? start.tau[g] : group.tauScale);
  });
  if (!model.sigmaKnown)
    logSpreads[problem.groups.length] = start ? logSigmaOf(model, start.sigma) : problem.sigma.logMean;
  const coefficients = start?.mode.length === model.nColumns ? start.mode : priorMean(model);
  return { logSpreads, coefficients };
}

function fitWithoutRows(model: SpreadModel): FitResult {
  const { problem } = model;
  const flat = model.fixedPrecision.indexOf(0);
  if (flat >= 0 || model.estimate !== 'posterior') {
    return failure(model, { status: 'singular', column: Math.max(0, flat), iterations: 0, gradientNorm: 0 });
  }
  const trace: FitTrace = {
    nObs: 0,
    newtonIterations: 0,
    marginalEvaluations: 0,
    gradientNorm: 0,
    logMarginal: 0,
    settings: { estimate: 'posterior', spreads: 'prior' },
  };
  return {
    status: 'fitted',
    posterior: {
      name: problem.name,
      nColumns: model.nColumns,
      error: problem.error,
      points: priorPoints(model),
      trace,
    },
  };
}

function traceOf(model: SpreadModel, maximum: SpreadMaximum, isIntegrated: boolean): FitTrace {
  return {
    nObs: model.nObs,
    newtonIterations: maximum.newtonIterations,
    marginalEvaluations: maximum.evaluations,
    gradientNorm: maximum.point.mode.gradientNorm,
    logMarginal: maximum.point.value,
    settings: {
      estimate: model.estimate,
      spreads: isIntegrated ? 'central composite design' : 'maximum',
      gain: gainOf(model),
    },
  };
}
