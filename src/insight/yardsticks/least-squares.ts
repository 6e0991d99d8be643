import { MultivariateLinearRegression } from 'ml-regression';
import { dot } from '../../inference/dot.ts';
import { meanOf } from '../../models/estimate/figure.ts';

/** An ordinary least-squares line through the data, and what of the design could not be used. */
export interface LeastSquares {
  readonly intercept: number;
  /** One a column of the design; 0 where the column was dropped. */
  readonly coefficients: readonly number[];
  /** Residual standard deviation, √(SSE / (n − rank)); NaN where no degree of freedom is left. */
  readonly residualSd: number;
  /** Columns that say nothing: constant, or a combination of those before them. */
  readonly dropped: readonly string[];
  predict(row: readonly number[]): number;
}

interface Column {
  readonly index: number;
  readonly mean: number;
  readonly scale: number;
  readonly values: Float64Array;
}

/** Length that is left of a standardised column beside those before it, below which it is taken as their combination. */
const collinear = 1e-7;

/**
 * The yardstick that a model has to beat: least squares on the same terms, by ml-regression.
 * Its columns are standardised first, for on raw ones the library drops small singular values without a word (wrong on Longley), and a
 * column that is constant or collinear is left out by name, for it would answer with a minimum-norm solution.
 *
 * **Shapes** `design`: nObs rows without the intercept; `y`: nObs.
 * **Throws** RangeError where there are no more rows than usable columns.
 * **Checked** tests/references/least-squares.test.ts (NIST StRD)
 */
export function leastSquares(
  design: readonly (readonly number[])[],
  y: readonly number[],
  names: readonly string[],
): LeastSquares {
  const { used, basis } = independent(names.map((_, index) => standardised(design, index)));
  if (y.length <= used.length + 1)
    throw new RangeError(`leastSquares: ${y.length} rows for ${used.length} columns and an intercept`);
  const centre = meanOf(y);
  const centred = Float64Array.from(y, (value) => value - centre);
  const weights = solve(used, basis, centred);
  const coefficients = names.map(() => 0);
  used.forEach(({ index, scale }, k) => {
    coefficients[index] = weights[k] / scale;
  });
  const intercept = centre - used.reduce((sum, { index, mean: at }) => sum + coefficients[index] * at, 0);
  const predict = (row: readonly number[]) =>
    centre + used.reduce((sum, { index, mean: at }) => sum + coefficients[index] * (row[index] - at), 0);
  const squares = design.reduce((sum, row, i) => sum + (y[i] - predict(row)) ** 2, 0);
  return {
    intercept,
    coefficients,
    residualSd: Math.sqrt(squares / (y.length - used.length - 1)),
    dropped: names.filter((_, index) => used.every((column) => column.index !== index)),
    predict,
  };
}

/**
 * Weights on the standardised columns, on the triangle that is left of them along their basis: as many rows as columns, however many jobs there
 * are, and the same solution, for a change of basis moves no length.
 */
function solve(used: readonly Column[], basis: readonly Float64Array[], y: Float64Array): readonly number[] {
  if (used.length === 0) return [];
  const triangle = basis.map((direction, i) => used.map(({ values }, j) => (j < i ? 0 : dot(direction, values))));
  const target = basis.map((direction) => [dot(direction, y)]);
  const { weights } = new MultivariateLinearRegression(triangle, target, { intercept: false, statistics: false });
  return weights.map(([weight]) => weight);
}

function standardised(design: readonly (readonly number[])[], index: number): Column {
  const raw = Float64Array.from(design, (row) => row[index]);
  const at = meanOf(raw);
  const scale = Math.sqrt(meanOf(raw.map((value) => (value - at) ** 2)));
  const isConstant = !(scale > 1e-12 * Math.max(1, Math.abs(at)));
  return {
    index,
    mean: at,
    scale,
    values: isConstant ? new Float64Array(0) : raw.map((value) => (value - at) / scale),
  };
}

/** The columns of full rank, earliest first, and an orthonormal basis of them, by Gram–Schmidt: one is kept where enough of it is left beside those before. */
function independent(columns: readonly Column[]) {
  const basis: Float64Array[] = [];
  const used = columns.filter(({ values }) => {
    if (values.length === 0) return false;
    const left = values.slice();
    // Twice is enough (Kahan): the second round takes off what rounding left of the first.
    for (let round = 0; round < 2; round++) for (const direction of basis) takeOff(left, direction);
    const length = Math.sqrt(dot(left, left));
    if (length < collinear * Math.sqrt(values.length)) return false;
    basis.push(left.map((value) => value / length));
    return true;
  });
  return { used, basis };
}

/** In place: what of the vector lies along a direction of length one. */
function takeOff(left: Float64Array, direction: Float64Array): void {
  const along = dot(left, direction);
  for (let i = 0; i < left.length; i++) left[i] -= along * direction[i];
}
