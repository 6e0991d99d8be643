import { allocateDraws } from './allocation.ts';
import { factoriseSemidefinite, packedLength } from './cholesky.ts';
import { checkNormals, predictorsGiven, spreadOfDraws } from './predict.ts';
import { rowDot } from './sparse.ts';
import type { Posterior, SparseRows } from './types.ts';

/**
 * Predictors of which each draw takes one set, all sets of one size. Each is a sum of parts with their weights: options that share their parts
 * cost little more than the parts.
 */
interface OptionPredictors {
  /** In the posterior's columns. */
  readonly parts: SparseRows;
  /** One row a predictor, set after set, with the parts as columns. */
  readonly sums: SparseRows;
  /** Predictors of a set. */
  readonly size: number;
}

interface OptionPredictorDraws {
  /** One array a place in the sets, one entry a draw. */
  readonly eta: readonly Float64Array[];
  /** One a draw. */
  readonly sigma: Float64Array;
}

/**
 * Joint draws of x·b where the predictors differ between draws: draw d takes the set `option[d]`. Only that set is drawn, by the factor of its
 * own covariance, which for eighteen sets of three costs a twentieth of drawing all their parts.
 *
 * **Shapes** `option`: one a draw; `normals`: draws · size of a set. `shift` as in `allocateDraws`.
 * **Throws** RangeError where there are fewer normals.
 * **Checked** tests/inference/predict-options.test.ts
 */
export function drawByOption(
  posterior: Posterior,
  predictors: OptionPredictors,
  option: Uint16Array,
  normals: Float64Array,
  shift = 0,
): OptionPredictorDraws {
  const nDraws = option.length;
  const { size } = predictors;
  const nOptions = predictors.sums.nRows / size;
  checkNormals(normals, nDraws * size);
  const { point, sigma } = spreadOfDraws(posterior.points, allocateDraws(posterior.points, nDraws, shift));
  const stride = size + packedLength(size);
  const table = momentTable(posterior, predictors, nOptions, stride);
  const place = new Int32Array(nDraws);
  for (let d = 0; d < nDraws; d++) place[d] = (point[d] * nOptions + option[d]) * stride;
  return { eta: drawn(table, place, normals, size), sigma };
}

/** Mean plus factor times normals. Along the draws, for the table's rows of one draw lie together and those of the next draw elsewhere. */
function drawn(table: Float64Array, place: Int32Array, normals: Float64Array, size: number): Float64Array[] {
  const nDraws = place.length;
  const eta = Array.from({ length: size }, () => new Float64Array(nDraws));
  for (let d = 0; d < nDraws; d++) {
    let mean = place[d];
    let entry = mean + size;
    for (let r = 0; r < size; r++, mean++) {
      let value = table[mean];
      for (let j = 0; j <= r; j++, entry++) value += table[entry] * normals[j * nDraws + d];
      eta[r][d] = value;
    }
  }
  return eta;
}

/** For each point and option: means of the set, then the packed factor of its covariance. */
function momentTable(
  posterior: Posterior,
  { parts, sums, size }: OptionPredictors,
  nOptions: number,
  stride: number,
): Float64Array {
  const { nColumns, points } = posterior;
  const table = new Float64Array(points.length * nOptions * stride);
  const covariance = new Float64Array(packedLength(size));
  const square = new Float64Array(parts.nRows ** 2);
  points.forEach((point, k) => {
    const { mean, covariance: ofParts } = predictorsGiven(point, nColumns, parts);
    unpack(ofParts, parts.nRows, square);
    for (let o = 0; o < nOptions; o++) {
      const at = (k * nOptions + o) * stride;
      const first = o * size;
      for (let i = 0; i < size; i++) table[at + i] = rowDot(sums, first + i, mean);
      setCovariance(sums, first, size, square, parts.nRows, covariance);
      factoriseSemidefinite(covariance, size, table, at + size);
    }
  });
  return table;
}

function unpack(packed: Float64Array, n: number, square: Float64Array): void {
  for (let i = 0, at = 0; i < n; i++)
    for (let j = 0; j <= i; j++, at++) {
      square[i * n + j] = packed[at];
      square[j * n + i] = packed[at];
    }
}

/** Of one set of sums, packed. */
function setCovariance(
  { rowStart, column, value }: SparseRows,
  first: number,
  size: number,
  square: Float64Array,
  n: number,
  covariance: Float64Array,
): void {
  let at = 0;
  for (let i = first; i < first + size; i++)
    for (let j = first; j <= i; j++) {
      let sum = 0;
      for (let a = rowStart[i]; a < rowStart[i + 1]; a++) {
        const row = column[a] * n;
        for (let b = rowStart[j]; b < rowStart[j + 1]; b++) sum += value[a] * value[b] * square[row + column[b]];
      }
      covariance[at++] = sum;
    }
}
