/**
 * Sums over arrays with one entry a draw, as plain loops over typed arrays: callbacks per draw made an estimate five times as slow.
 */

/** target += weight · values; with `scale` each entry is multiplied by its own. Returns the target. */
export function addDraws(target: Float64Array, values: Float64Array, weight = 1, scale?: Float64Array): Float64Array {
  if (scale === undefined) for (let d = 0; d < target.length; d++) target[d] += weight * values[d];
  else for (let d = 0; d < target.length; d++) target[d] += weight * values[d] * scale[d];
  return target;
}

/** Σ weight · array, draw by draw. */
export function weightedDraws(arrays: readonly Float64Array[], weights: readonly number[]): Float64Array {
  const sum = new Float64Array(arrays[0].length);
  arrays.forEach((values, s) => {
    addDraws(sum, values, weights[s]);
  });
  return sum;
}

/** The largest of several arrays in each draw. */
export function largestDraws(arrays: readonly Float64Array[]): Float64Array {
  const largest = arrays[0].slice();
  for (const values of arrays)
    for (let d = 0; d < largest.length; d++) if (values[d] > largest[d]) largest[d] = values[d];
  return largest;
}

export function logDraws(values: Float64Array): Float64Array {
  const result = new Float64Array(values.length);
  for (let d = 0; d < values.length; d++) result[d] = Math.log(values[d]);
  return result;
}

export function expDraws(logs: Float64Array): Float64Array {
  const result = new Float64Array(logs.length);
  for (let d = 0; d < logs.length; d++) result[d] = Math.exp(logs[d]);
  return result;
}
