import { MultivariateLinearRegression } from 'ml-regression';

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
  const columns = names.map((_, index) => standardised(design, index));
  const used = independent(columns);
  if (y.length <= used.length + 1)
    throw new RangeError(`leastSquares: ${y.length} rows for ${used.length} columns and an intercept`);
  const centre = mean(y);
  const weights = solve(
    used,
    y.map((value) => value - centre),
  );
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

/** Weights on standardised columns; their mean is zero, so the intercept is the centre that was taken off. */
function solve(used: readonly Column[], y: readonly number[]): readonly number[] {
  if (used.length === 0) return [];
  const rows = y.map((_, i) => used.map(({ values }) => values[i]));
  const { weights } = new MultivariateLinearRegression(
    rows,
    y.map((value) => [value]),
  );
  return used.map((_, k) => weights[k][0]);
}

function standardised(design: readonly (readonly number[])[], index: number): Column {
  const raw = Float64Array.from(design, (row) => row[index]);
  const at = mean(raw);
  const scale = Math.sqrt(mean(raw.map((value) => (value - at) ** 2)));
  const isConstant = !(scale > 1e-12 * Math.max(1, Math.abs(at)));
  return {
    index,
    mean: at,
    scale,
    values: isConstant ? new Float64Array(0) : raw.map((value) => (value - at) / scale),
  };
}

/** The columns of full rank, earliest first, by Gram–Schmidt: one is kept where enough of it is left beside those before. */
function independent(columns: readonly Column[]): readonly Column[] {
  const basis: Float64Array[] = [];
  return columns.filter(({ values }) => {
    if (values.length === 0) return false;
    const left = values.slice();
    // Twice is enough (Kahan): the second round takes off what rounding left of the first.
    for (let round = 0; round < 2; round++) for (const direction of basis) takeOff(left, direction);
    const length = Math.sqrt(dot(left, left));
    if (length < collinear * Math.sqrt(values.length)) return false;
    basis.push(left.map((value) => value / length));
    return true;
  });
}

/** In place: what of the vector lies along a direction of length one. */
function takeOff(left: Float64Array, direction: Float64Array): void {
  const along = dot(left, direction);
  for (let i = 0; i < left.length; i++) left[i] -= along * direction[i];
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i];
  return sum / values.length;
}
