import { normalRows } from './normal-rows.ts';
import { exactNormalRows } from './normal-statistics.ts';
import { studentRows } from './student-rows.ts';
import type { RegressionProblem, SparseRows } from './types.ts';

/** What one reading of the rows adds up; w_i is the curvature of row i in eta. */
export interface RowSums {
  /** Σ ∂ℓ_i/∂eta x_i, one a column. */
  readonly gradient: Float64Array;
  /** Σ w_i x_i x_iᵀ, packed. */
  readonly precision: Float64Array;
  /** Σ ∂ℓ_i/∂log sigma. */
  bySigma: number;
  /** Σ ∂²ℓ_i/∂eta ∂log sigma x_i: how the gradient moves with sigma, one a column. */
  readonly gradientBySigma: Float64Array;
}

/** How log |H| moves: h_i is the leverage x_iᵀ V x_i in the covariance V of what is integrated. */
export interface LeverageSums {
  /** Σ h_i ∂w_i/∂log sigma. */
  bySigma: number;
  /** Σ h_i ∂w_i/∂eta x_i, one a column. */
  readonly byColumn: Float64Array;
}

/** Rows that share one way of being read. The likelihood is the sum of its parts. */
export interface LikelihoodPart {
  readonly nObs: number;
  /** Whether the rows were summed up once, or are read at every step. */
  readonly summedUp: boolean;
  /** Returns Σ ℓ_i and adds to the sums. */
  addTo(coefficients: Float64Array, sigma: number, sums: RowSums): number;
  /** Adds to the sums, with V packed. */
  addLeverageTo(coefficients: Float64Array, sigma: number, covariance: Float64Array, sums: LeverageSums): void;
}

/**
 * The likelihood of a problem by its kinds of rows: exact normal rows are summed up once and never read again; Student rows have a constant
 * curvature; all others are read at every step.
 */
export function likelihoodParts(problem: RegressionProblem): readonly LikelihoodPart[] {
  const { rows, observations, error } = problem;
  if (error.kind === 'student-t')
    return rows.nRows > 0 ? [studentRows(rows, observations, error.degreesOfFreedom)] : [];
  const isExact = (row: number): boolean =>
    observations.lower[row] === observations.upper[row] &&
    !((observations.addedVariance?.[row] ?? 0) > 0) &&
    (observations.ofSigma2?.[row] ?? 1) === 1;
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
