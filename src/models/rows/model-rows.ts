import { doubtsOf, type ModelName, mayBeSo } from '../../domain/doubts.ts';
import { sparseRows } from '../../inference/sparse.ts';
import type { Observations, SparseRows } from '../../inference/types.ts';
import type { Entries } from '../layout.ts';
import type { DoneJob } from '../shop-view.ts';

/** A record that a model does not read, and why. */
export interface LeftOut {
  readonly ref: string;
  readonly reason: string;
  /** Where it is too far from what is expected of such a job to be read unconfirmed. */
  readonly farOff?: FarOff | undefined;
}

/** A record that a model reads, and that looks odd to it. */
export interface Odd extends LeftOut {
  readonly farOff: FarOff;
}

/** What a record says, and the 90 % range that the shop's other jobs let expect. */
export interface FarOff {
  readonly seen: number;
  readonly unit: string;
  readonly expected: { readonly p05: number; readonly p95: number };
}

/** What a model is fitted to. `used` counts records, not rows. */
export interface ModelRows {
  readonly rows: SparseRows;
  readonly observations: Observations;
  /** How far each row's error spreads, as a factor on sigma; 1 where absent. */
  readonly spread?: Float64Array;
  /** Whether the rows of one record, which stand together, have sigma's error in common and the added variance each for itself. */
  readonly shareErrors?: boolean;
  /** What reading to a step adds to every row, as a standard deviation on the log scale. */
  readonly readingSd?: number;
  /** Each row's figure as people count it; exp(log y) where absent. */
  readonly shown?: readonly ((y: number) => number)[];
  /** What each row was typed as, where it was. */
  readonly typed?: readonly (number | undefined)[];
  /** The record of each row. */
  readonly refs: readonly string[];
  readonly used: number;
  readonly leftOut: readonly LeftOut[];
}

/** One row: log y between bounds (equal: exact), with its offset and a variance of its own. */
export interface Row {
  readonly entries: Entries;
  readonly lower: number;
  readonly upper: number;
  readonly offset?: number;
  readonly addedVariance?: number;
  readonly spread?: number;
  /** What it says as people count it, where that is not exp(log y): hours of the clock. */
  readonly shown?: (y: number) => number;
  /** The figure that was typed, where the bounds are others. */
  readonly typed?: number;
}

/** What one record gives a model: rows, or the reason why none; neither where it has nothing to say. */
export type RecordRows = { readonly rows: readonly Row[] } | { readonly doubt: string } | undefined;

/** Reads every record once and gathers its rows; one that is doubtful to this model is left out with the doubt. */
export function collectRows(
  model: ModelName,
  jobs: readonly DoneJob[],
  nColumns: number,
  read: (done: DoneJob) => RecordRows,
): ModelRows {
  const rows: Row[] = [];
  const refs: string[] = [];
  const leftOut: LeftOut[] = [];
  let used = 0;
  for (const done of jobs) {
    const found = doubtFor(model, done) ?? reckonable(read(done));
    if (found === undefined) continue;
    if ('doubt' in found) leftOut.push({ ref: done.job.ref, reason: found.doubt });
    else {
      rows.push(...found.rows);
      for (const _ of found.rows) refs.push(done.job.ref);
      used += found.rows.length > 0 ? 1 : 0;
    }
  }
  const gathered = { rows: sparse(rows, nColumns), observations: observationsOf(rows), refs, used, leftOut };
  return {
    ...gathered,
    ...(rows.some((row) => row.spread !== undefined) && { spread: spreadsOf(rows) }),
    ...(rows.some((row) => row.shown !== undefined) && { shown: rows.map(({ shown = asItIs }) => shown) }),
    ...(rows.some((row) => row.typed !== undefined) && { typed: rows.map(({ typed }) => typed) }),
  };
}

/**
 * The same rows with errors that spread alike: y = x b + s e is y/s = (x/s) b + e, which differs in nothing that the coefficients hang on.
 * Of exact rows alone; an interval's own variance would have to follow.
 */
export function evenlySpread({ rows, observations, spread }: ModelRows): Pick<ModelRows, 'rows' | 'observations'> {
  if (spread === undefined) return { rows, observations };
  const value = rows.value.slice();
  for (let i = 0; i < rows.nRows; i++)
    for (let k = rows.rowStart[i]; k < rows.rowStart[i + 1]; k++) value[k] /= spread[i];
  const over = (values: Float64Array) => values.map((one, i) => one / spread[i]);
  const { lower, upper, offset, addedVariance } = observations;
  return {
    rows: { ...rows, value },
    observations: { lower: over(lower), upper: over(upper), offset: over(offset), addedVariance },
  };
}

const asItIs = (y: number) => y;

function spreadsOf(rows: readonly Row[]): Float64Array {
  return Float64Array.from(rows, ({ spread = 1 }) => spread);
}

/** A surface of next to nothing, say: what the contract takes can still be no number once it is divided by. */
function reckonable(found: RecordRows): RecordRows {
  if (found === undefined || 'doubt' in found || found.rows.every(isReckonable)) return found;
  return { doubt: 'a surface, a reading or the air is so far from any work that nothing can be reckoned with it' };
}

function isReckonable({ lower, upper, offset = 0 }: Row): boolean {
  return lower < Infinity && upper > -Infinity && Number.isFinite(offset);
}

/** Linear predictors as rows of a design. */
export function sparse(rows: readonly { readonly entries: Entries }[], nColumns: number): SparseRows {
  return sparseRows(
    nColumns,
    rows.map(({ entries }) => entries),
  );
}

function doubtFor(model: ModelName, { job, isConfirmed }: DoneJob): { readonly doubt: string } | undefined {
  const found = doubtsOf(job).find((one) => one.leftOutOf.includes(model) && !(isConfirmed && mayBeSo(one)));
  return found === undefined ? undefined : { doubt: found.message };
}

function observationsOf(rows: readonly Row[]): Observations {
  return {
    lower: Float64Array.from(rows, (row) => row.lower),
    upper: Float64Array.from(rows, (row) => row.upper),
    offset: Float64Array.from(rows, (row) => row.offset ?? 0),
    addedVariance: Float64Array.from(rows, (row) => row.addedVariance ?? 0),
  };
}
