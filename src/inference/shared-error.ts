import { addScaledRow, rowBuilder } from './sparse.ts';
import type { Observations, SparseRows } from './types.ts';

/** Rows that stand together: the first, and the one after the last. */
export interface Run {
  readonly start: number;
  readonly end: number;
}

/** Stretches of rows with the same key, of two at least. */
export function runsOf(keys: readonly string[]): readonly Run[] {
  const runs: Run[] = [];
  for (let start = 0, end = 0; start < keys.length; start = end) {
    while (end < keys.length && keys[end] === keys[start]) end += 1;
    if (end - start > 1) runs.push({ start, end });
  }
  return runs;
}

/**
 * The same rows with errors that are independent, where those of a run have sigma's error in common and each its added variance, above 0, for
 * itself. One after the other is set against the mean of those before it, weighted by the inverse of that variance, so that sigma's error cancels;
 * what remains is the mean of all, which has it. Together they say of the coefficients and of sigma what the joint normal density of the run says:
 * the map from the one to the other has determinant 1.
 *
 * **Throws** RangeError where a row of a run is an interval: of that the mean is none.
 *
 * **Checked** tests/inference/shared-error.test.ts, against the joint density
 */
export function independentRows(
  rows: SparseRows,
  observations: Observations,
  runs: readonly Run[],
): { readonly rows: SparseRows; readonly observations: Observations } {
  if (runs.length === 0) return { rows, observations };
  const lower = observations.lower.slice();
  const upper = observations.upper.slice();
  const offset = observations.offset.slice();
  const addedVariance = observations.addedVariance?.slice() ?? new Float64Array(rows.nRows);
  const ofSigma2 = new Float64Array(rows.nRows).fill(1);
  const terms = new Map<number, Float64Array>();
  const set = (row: number, one: Reading) => {
    lower[row] = one.y;
    upper[row] = one.y;
    offset[row] = one.offset;
    addedVariance[row] = one.variance;
    terms.set(row, one.terms);
  };
  for (const { start, end } of runs) {
    let mean = readingOf(rows, observations, start);
    for (let row = start + 1; row < end; row++) {
      const one = readingOf(rows, observations, row);
      set(row, sumOf(one, 1, mean, -1));
      ofSigma2[row] = 0;
      const weight = mean.variance / (one.variance + mean.variance);
      mean = sumOf(one, weight, mean, 1 - weight);
    }
    set(start, mean);
  }
  return { rows: replaced(rows, terms), observations: { lower, upper, offset, addedVariance, ofSigma2 } };
}

/** A row as a reading of log y with an error of its own. */
interface Reading {
  readonly y: number;
  readonly offset: number;
  readonly variance: number;
  /** One a column. */
  readonly terms: Float64Array;
}

function readingOf(rows: SparseRows, { lower, upper, offset, addedVariance }: Observations, row: number): Reading {
  if (lower[row] !== upper[row])
    throw new RangeError(`row ${row}: an interval among rows that share an error: exact rows only`);
  const terms = new Float64Array(rows.nColumns);
  addScaledRow(rows, row, 1, terms);
  return { y: lower[row], offset: offset[row], variance: addedVariance?.[row] ?? 0, terms };
}

/** Of two with independent errors, each so many times. */
function sumOf(one: Reading, times: number, other: Reading, otherTimes: number): Reading {
  const of = (a: number, b: number) => times * a + otherTimes * b;
  return {
    y: of(one.y, other.y),
    offset: of(one.offset, other.offset),
    variance: times ** 2 * one.variance + otherTimes ** 2 * other.variance,
    terms: one.terms.map((value, column) => of(value, other.terms[column])),
  };
}

function replaced(rows: SparseRows, terms: ReadonlyMap<number, Float64Array>): SparseRows {
  const all = Array.from({ length: rows.nColumns }, (_, column) => column);
  const builder = rowBuilder(rows.nColumns, { rows: rows.nRows, entries: rows.value.length });
  for (let row = 0; row < rows.nRows; row++) {
    const [start, end] = [rows.rowStart[row], rows.rowStart[row + 1]];
    const changed = terms.get(row);
    if (changed) builder.addRow(all, changed);
    else builder.addRow(rows.column.subarray(start, end), rows.value.subarray(start, end));
  }
  return builder.build();
}
