import type { ModeFailure } from './mode.ts';
import { type SpreadModel, termName } from './spread-model.ts';
import type { FitFailure, RegressionProblem } from './types.ts';

/** The failure of a row that no likelihood can read. */
export function unreadable(problem: RegressionProblem, row: number): FitFailure {
  const { lower, upper, offset } = problem.observations;
  return {
    status: 'failed',
    reason: 'non-finite',
    model: problem.name,
    nObs: problem.rows.nRows,
    iterations: 0,
    gradientNorm: Number.NaN,
    message: `${problem.name}: row ${row} is [${lower[row]}, ${upper[row]}] with offset ${offset[row]}: ends in order, a finite offset and variance`,
  };
}

const WHY = {
  singular: 'the rows and priors do not determine',
  'non-finite': 'a sum over the rows is not finite',
  'not-converged': 'the search came to no maximum',
} as const;

/** A failed search as the named result that is stored: with the term where one is to blame. */
export function failure(model: SpreadModel, cause: ModeFailure): FitFailure {
  const term = cause.column === undefined ? undefined : termName(model.problem, cause.column);
  return {
    status: 'failed',
    reason: cause.status,
    model: model.problem.name,
    ...(term === undefined ? {} : { term }),
    nObs: model.nObs,
    iterations: cause.iterations,
    gradientNorm: cause.gradientNorm,
    message: `${model.problem.name}: ${WHY[cause.status]}${term === undefined ? '' : ` ${term}`} (${model.nObs} rows, ${cause.iterations} iterations, gradient norm ${cause.gradientNorm})`,
  };
}
