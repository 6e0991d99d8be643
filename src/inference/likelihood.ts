import { normalRows } from './normal-rows.ts';
import { exactNormalRows } from './normal-statistics.ts';
import { studentRows } from './student-rows.ts';
import type { RegressionProblem, SparseRows } from './types.ts';

/** What a pass adds up for the derivative of the Laplace marginal by the spreads; h_i is the leverage x_iᵀ V x_i, w_i the curvature. */
export interface SpreadSums {
  /** Σ ∂ℓ_i/∂log sigma. */
  bySigma: number;
  /** Σ h_i ∂w_i/∂log sigma. */
  leverageBySigma: number;
  /** Σ x_i ∂²ℓ_i/∂eta ∂log sigma: how the gradient moves with sigma, one a column. */
  readonly gradientBySigma: Float64Array;
  /** Σ h_i ∂w_i/∂eta x_i, one a column. */
  readonly leverageByColumn: Float64Array;
}

/** Rows that share one way of being read. The likelihood is the sum of its parts. */
export interface LikelihoodPart {
  readonly nObs: number;
  /** Returns Σ ℓ_i; adds Σ x_i ∂ℓ_i/∂eta to `gradient` and Σ w_i x_i x_iᵀ to the packed `precision`. */
  addTo(coefficients: Float64Array, sigma: number, gradient: Float64Array, precision: Float64Array): number;
  /** Adds to the sums, with the packed covariance V that stands in h_i. */
  addSpreadTo(coefficients: Float64Array, sigma: number, covariance: Float64Array, sums: SpreadSums): void;
}

export const emptySpreadSums = (nColumns: number): SpreadSums => ({
  bySigma: 0,
  leverageBySigma: 0,
  gradientBySigma: new Float64Array(nColumns),
  leverageByColumn: new Float64Array(nColumns),
});

/**
 * The likelihood of a problem by its kinds of rows: exact normal rows are summed up once and never read again; Student rows have a constant
 * curvature; all others are read at every step.
 */
export function likelihoodParts(problem: RegressionProblem): readonly LikelihoodPart[] {
  const { rows, observations, error } = problem;
  if (error.kind === 'student-t')
    return rows.nRows > 0 ? [studentRows(rows, observations, error.degreesOfFreedom)] : [];
  const isExact = (row: number): boolean =>
    observations.lower[row] === observations.upper[row] && !((observations.addedVariance?.[row] ?? 0) > 0);
  const exact = rowsWhere(rows, isExact);
  const others = rowsWhere(rows, (row) => !isExact(row));
  return [
    ...(exact.length > 0 ? [exactNormalRows(rows, observations, exact)] : []),
    ...(others.length > 0 ? [normalRows(rows, observations, others)] : []),
  ];
}

function rowsWhere(rows: SparseRows, keep: (row: number) => boolean): Int32Array {
  let count = 0;
  for (let row = 0; row < rows.nRows; row++) if (keep(row)) count += 1;
  const kept = new Int32Array(count);
  for (let row = 0, at = 0; row < rows.nRows; row++) if (keep(row)) kept[at++] = row;
  return kept;
}
