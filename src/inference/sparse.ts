import { packedLength } from './cholesky.ts';
import type { SparseRows } from './types.ts';

interface RowBuilder {
  /** One row as columns with their values, in any order; a column given twice is summed, a zero is left out. */
  addRow(columns: ArrayLike<number>, values: ArrayLike<number>): void;
  build(): SparseRows;
}

/**
 * Collects sparse rows into typed arrays that grow by half; what is built is a view of them, no copy. `expected` saves a large problem the growing.
 *
 * **Throws** RangeError for a column outside 0..nColumns−1 or a value that is not finite.
 */
export function rowBuilder(nColumns: number, expected = { rows: 64, entries: 512 }): RowBuilder {
  let rowStart = new Int32Array(expected.rows + 1);
  let column = new Int32Array(expected.entries);
  let value = new Float64Array(expected.entries);
  let nRows = 0;
  let used = 0;

  return {
    addRow(columns, values) {
      if (used + columns.length > column.length) {
        const room = Math.max(Math.ceil(1.5 * column.length), used + columns.length);
        column = grown(column, new Int32Array(room));
        value = grown(value, new Float64Array(room));
      }
      if (nRows + 1 >= rowStart.length) {
        rowStart = grown(rowStart, new Int32Array(Math.ceil(1.5 * rowStart.length) + 1));
      }
      const first = used;
      for (let k = 0; k < columns.length; k++) {
        checkEntry(columns[k], values[k], nColumns, nRows);
        used = insertEntry(column, value, first, used, columns[k], values[k]);
      }
      used = dropZeros(column, value, first, used);
      nRows += 1;
      rowStart[nRows] = used;
    },
    build() {
      return {
        nRows,
        nColumns,
        rowStart: rowStart.subarray(0, nRows + 1),
        column: column.subarray(0, used),
        value: value.subarray(0, used),
      };
    },
  };
}

/** Rows from lists of `[column, value]`. */
export function sparseRows(nColumns: number, rows: readonly (readonly (readonly [number, number])[])[]): SparseRows {
  const builder = rowBuilder(nColumns);
  for (const row of rows) {
    builder.addRow(
      row.map((entry) => entry[0]),
      row.map((entry) => entry[1]),
    );
  }
  return builder.build();
}

/** x_i · b for one row. */
export function rowDot(rows: SparseRows, row: number, coefficients: Float64Array): number {
  let sum = 0;
  const end = rows.rowStart[row + 1];
  for (let k = rows.rowStart[row]; k < end; k++) sum += rows.value[k] * coefficients[rows.column[k]];
  return sum;
}

/** target += scale · x_i. */
export function addScaledRow(rows: SparseRows, row: number, scale: number, target: Float64Array): void {
  const end = rows.rowStart[row + 1];
  for (let k = rows.rowStart[row]; k < end; k++) target[rows.column[k]] += scale * rows.value[k];
}

/** The same for two targets in one reading. */
export function addTwiceScaledRow(
  rows: SparseRows,
  row: number,
  scaleA: number,
  targetA: Float64Array,
  scaleB: number,
  targetB: Float64Array,
): void {
  const { column, value } = rows;
  const end = rows.rowStart[row + 1];
  for (let k = rows.rowStart[row]; k < end; k++) {
    targetA[column[k]] += scaleA * value[k];
    targetB[column[k]] += scaleB * value[k];
  }
}

/**
 * gram += weight · x_i x_iᵀ, packed lower; the row's columns are sorted, so each pair falls into the lower triangle.
 * Two entries a turn: this loop is most of a Newton step, and the compiler leaves its bounds checks in (1.6 times as fast).
 */
export function addWeightedSquare(rows: SparseRows, row: number, weight: number, gram: Float64Array): void {
  const { column, value } = rows;
  const start = rows.rowStart[row];
  const end = rows.rowStart[row + 1];
  for (let k = start; k < end; k++) {
    const packedRow = packedLength(column[k]);
    const scaled = weight * value[k];
    let m = start;
    for (; m < k; m += 2) {
      const one = packedRow + column[m];
      const two = packedRow + column[m + 1];
      const first = gram[one] + scaled * value[m];
      const second = gram[two] + scaled * value[m + 1];
      gram[one] = first;
      gram[two] = second;
    }
    if (m === k) gram[packedRow + column[k]] += scaled * value[k];
  }
}

/** x_iᵀ A x_i for a packed symmetric A: the leverage of a row where A is a covariance. */
export function quadraticForm(rows: SparseRows, row: number, matrix: Float64Array): number {
  const { column, value } = rows;
  const start = rows.rowStart[row];
  const end = rows.rowStart[row + 1];
  let sum = 0;
  for (let k = start; k < end; k++) {
    const packedRow = packedLength(column[k]);
    let inner = 0;
    for (let m = start; m < k; m++) inner += matrix[packedRow + column[m]] * value[m];
    sum += value[k] * (2 * inner + matrix[packedRow + column[k]] * value[k]);
  }
  return sum;
}

function grown<T extends Int32Array | Float64Array>(from: T, into: T): T {
  into.set(from);
  return into;
}

function checkEntry(column: number, value: number, nColumns: number, row: number): void {
  if (!Number.isInteger(column) || column < 0 || column >= nColumns) {
    throw new RangeError(`row ${row}: column is ${column}: an integer from 0 to ${nColumns - 1}`);
  }
  if (!Number.isFinite(value)) throw new RangeError(`row ${row}, column ${column}: value is ${value}: a finite number`);
}

/** Insertion into the sorted end of the arrays: rows are short. */
function insertEntry(
  column: Int32Array,
  value: Float64Array,
  first: number,
  used: number,
  newColumn: number,
  newValue: number,
): number {
  let at = used;
  while (at > first && column[at - 1] > newColumn) at -= 1;
  if (at > first && column[at - 1] === newColumn) {
    value[at - 1] += newValue;
    return used;
  }
  column.copyWithin(at + 1, at, used);
  value.copyWithin(at + 1, at, used);
  column[at] = newColumn;
  value[at] = newValue;
  return used + 1;
}

function dropZeros(column: Int32Array, value: Float64Array, first: number, used: number): number {
  let kept = first;
  for (let k = first; k < used; k++) {
    if (value[k] === 0) continue;
    column[kept] = column[k];
    value[kept] = value[k];
    kept += 1;
  }
  return kept;
}
