import { allocateDraws, forEachPoint } from './allocation.ts';
import { factoriseSemidefinite, packedLength } from './cholesky.ts';
import { dotAt, solvePredictors } from './predict.ts';
import type { Posterior, SparseRows } from './types.ts';

/** Predictors of which each draw takes one set: `rowOf[option]` names the rows of that set, all sets of one size. */
export interface OptionRows {
  readonly rows: SparseRows;
  readonly rowOf: readonly Int32Array[];
}

export interface OptionPredictorDraws {
  /** One array a place in the sets, one entry a draw. */
  readonly eta: readonly Float64Array[];
  /** One a draw. */
  readonly sigma: Float64Array;
}

/**
 * Joint draws of x·b where the rows differ between draws: draw d takes the set `option[d]`. Only that set is drawn, by the factor of its own
 * covariance, which for eighteen sets of three costs a twentieth of drawing all their parts.
 *
 * `shift` turns the order of the design points round. Two posteriors that are independent must be given different ones: the order is the
 * same for all, and a draw with a large spread in one would have a large one in the other.
 *
 * **Shapes** `option`: one a draw; `normals`: draws · size of a set.
 * **Throws** RangeError where there are fewer normals.
 * **Checked** tests/inference/predict-options.test.ts
 */
export function drawByOption(
  posterior: Posterior,
  { rows, rowOf }: OptionRows,
  option: Uint16Array,
  normals: Float64Array,
  shift = 0,
): OptionPredictorDraws {
  const nDraws = option.length;
  const size = rowOf[0].length;
  if (normals.length < nDraws * size)
    throw new RangeError(`normals has ${normals.length} entries: draws times dimensions, ${nDraws * size}`);
  const point = pointOfDraw(posterior, nDraws, shift);
  const stride = size + packedLength(size);
  const table = momentTable(posterior, rows, rowOf, stride);
  const place = new Int32Array(nDraws);
  for (let d = 0; d < nDraws; d++) place[d] = (point[d] * rowOf.length + option[d]) * stride;
  const eta = Array.from({ length: size }, (_, r) => drawnPlace(table, place, normals, r, size));
  return { eta, sigma: sigmaOf(posterior, point) };
}

function drawnPlace(
  table: Float64Array,
  place: Int32Array,
  normals: Float64Array,
  r: number,
  size: number,
): Float64Array {
  const nDraws = place.length;
  const eta = new Float64Array(nDraws);
  for (let d = 0; d < nDraws; d++) eta[d] = table[place[d] + r];
  for (let j = 0; j <= r; j++) {
    const entry = size + packedLength(r) + j;
    for (let d = 0; d < nDraws; d++) eta[d] += table[place[d] + entry] * normals[j * nDraws + d];
  }
  return eta;
}

/** For each point and option: means of the set, then the packed factor of its covariance. */
function momentTable(
  posterior: Posterior,
  rows: SparseRows,
  rowOf: readonly Int32Array[],
  stride: number,
): Float64Array {
  const { nColumns, points } = posterior;
  const size = rowOf[0].length;
  const table = new Float64Array(points.length * rowOf.length * stride);
  points.forEach((point, k) => {
    const { mean, solved } = solvePredictors(point, nColumns, rows);
    rowOf.forEach((set, o) => {
      const at = (k * rowOf.length + o) * stride;
      const covariance = new Float64Array(packedLength(size));
      for (let i = 0; i < size; i++) {
        table[at + i] = mean[set[i]];
        for (let j = 0; j <= i; j++)
          covariance[packedLength(i) + j] = dotAt(solved, set[i] * nColumns, set[j] * nColumns, nColumns);
      }
      table.set(factoriseSemidefinite(covariance, size), at + size);
    });
  });
  return table;
}

function pointOfDraw(posterior: Posterior, nDraws: number, shift: number): Int32Array {
  const allocation = allocateDraws(posterior.points, nDraws);
  const point = new Int32Array(nDraws);
  forEachPoint(allocation, (k, from, to) => {
    for (let i = from; i < to; i++) point[(allocation.order[i] + shift) % nDraws] = k;
  });
  return point;
}

function sigmaOf({ points }: Posterior, point: Int32Array): Float64Array {
  const sigma = new Float64Array(point.length);
  for (let d = 0; d < point.length; d++) sigma[d] = points[point[d]].sigma;
  return sigma;
}
