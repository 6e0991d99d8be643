import { type LikelihoodPart, likelihoodParts } from './likelihood.ts';
import { HALF_LOG_2PI } from './normal.ts';
import type { RegressionProblem } from './types.ts';

/**
 * posterior: all priors as given. reml: flat fixed terms, integrated; flat spreads. ml: flat fixed terms at their mode, groups integrated; flat spreads.
 * The last two are for comparison with other programs.
 */
export type Estimate = 'posterior' | 'reml' | 'ml';

/** A problem made ready: its likelihood by parts, and the precision of the fixed terms with flat ones as zero. */
export interface SpreadModel {
  readonly problem: RegressionProblem;
  readonly estimate: Estimate;
  readonly parts: readonly LikelihoodPart[];
  readonly nObs: number;
  /** Of these, the rows that are read again at every step. */
  readonly nRead: number;
  readonly nColumns: number;
  readonly nFixed: number;
  readonly fixedPrecision: Float64Array;
  /** The searched spreads: log tau of each group, then log sigma unless it is known. */
  readonly nSpreads: number;
  readonly sigmaKnown: boolean;
}

export function spreadModel(problem: RegressionProblem, estimate: Estimate): SpreadModel {
  const parts = likelihoodParts(problem);
  const sigmaKnown = problem.sigma.logSd === 0;
  return {
    problem,
    estimate,
    parts,
    nObs: parts.reduce((sum, part) => sum + part.nObs, 0),
    nRead: parts.reduce((sum, part) => sum + (part.summedUp ? 0 : part.nObs), 0),
    nColumns: problem.rows.nColumns,
    nFixed: problem.fixed.names.length,
    fixedPrecision: problem.fixed.sd.map((sd) => (estimate === 'posterior' ? 1 / (sd * sd) : 0)),
    nSpreads: problem.groups.length + (sigmaKnown ? 0 : 1),
    sigmaKnown,
  };
}

/** The error's scale: what is left over, and reading to a step beside it. */
export function sigmaAt({ problem, sigmaKnown }: SpreadModel, logSpreads: Float64Array): number {
  const left = Math.exp(sigmaKnown ? problem.sigma.logMean : logSpreads[problem.groups.length]);
  return Math.hypot(left, problem.sigma.readingSd ?? 0);
}

/** ∂log scale / ∂log sigma: below one where part of the scale is the reading's. */
export function sigmaShare(model: SpreadModel, scale: number): number {
  return 1 - ((model.problem.sigma.readingSd ?? 0) / scale) ** 2;
}

/** Where to look for log sigma, given a scale; at least a tenth of it, for near the reading's own the rows tell little. */
export function logSigmaOf(model: SpreadModel, scale: number): number {
  return Math.log(scale) + 0.5 * Math.log(Math.max(0.01, sigmaShare(model, scale)));
}

export function tauAt(model: SpreadModel, logSpreads: Float64Array): Float64Array {
  return Float64Array.from(model.problem.groups, (_, g) => Math.exp(logSpreads[g]));
}

/** Prior precision of every coefficient given the spreads. */
export function priorPrecision(model: SpreadModel, logSpreads: Float64Array): Float64Array {
  const precision = new Float64Array(model.nColumns);
  precision.set(model.fixedPrecision);
  model.problem.groups.forEach((group, g) => {
    precision.fill(Math.exp(-2 * logSpreads[g]), group.first, group.first + group.count);
  });
  return precision;
}

export function priorMean(model: SpreadModel): Float64Array {
  const mean = new Float64Array(model.nColumns);
  mean.set(model.problem.fixed.mean);
  return mean;
}

/** The term that a column belongs to, for messages. */
export function termName(problem: RegressionProblem, column: number): string {
  const group = problem.groups.find((g) => column >= g.first && column < g.first + g.count);
  return group ? `${group.name}[${column - group.first}]` : (problem.fixed.names[column] ?? `column ${column}`);
}

/**
 * log prior of the spreads on the log scale, Jacobian included: half-normal tau, log-normal sigma. Adds its gradient.
 * On the natural scale the maximum of tau would collapse to 0 wherever groups are few. Flat for reml and ml.
 */
export function addSpreadPrior(model: SpreadModel, logSpreads: Float64Array, gradient: Float64Array): number {
  if (model.estimate !== 'posterior') return 0;
  const { groups, sigma } = model.problem;
  let sum = 0;
  groups.forEach((group, g) => {
    const ratio = Math.exp(2 * logSpreads[g]) / (group.tauScale * group.tauScale);
    sum += 0.5 * Math.log(2 / Math.PI) - Math.log(group.tauScale) + logSpreads[g] - 0.5 * ratio;
    gradient[g] += 1 - ratio;
  });
  if (model.sigmaKnown) return sum;
  const z = (logSpreads[groups.length] - sigma.logMean) / sigma.logSd;
  gradient[groups.length] -= z / sigma.logSd;
  return sum - 0.5 * z * z - Math.log(sigma.logSd) - HALF_LOG_2PI;
}
