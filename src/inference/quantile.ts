/**
 * Quantiles of a sample by partial sorting: `probabilities` in ascending order, linear between the two neighbouring order statistics
 * (definition 7 of Hyndman and Fan 1996). Each selection starts where the last one left off.
 *
 * **Returns** one value a probability; NaN for an empty sample.
 * The sample is left as it was: a copy is partly sorted, in `workspace` where one is given (at least as long).
 */
export function quantiles(
  sample: Float64Array,
  probabilities: readonly number[],
  workspace?: Float64Array,
): Float64Array {
  const values = workspace ? workspace.subarray(0, sample.length) : new Float64Array(sample.length);
  values.set(sample);
  return quantilesInPlace(values, probabilities);
}

/** The same, reordering the sample itself. */
export function quantilesInPlace(values: Float64Array, probabilities: readonly number[]): Float64Array {
  const result = new Float64Array(probabilities.length);
  const last = values.length - 1;
  let sortedBelow = 0;
  probabilities.forEach((probability, index) => {
    const position = probability * last;
    const low = Math.floor(position);
    selectRank(values, low, Math.min(sortedBelow, low), last);
    sortedBelow = low;
    result[index] = values[low];
    if (position > low) {
      const next = smallest(values, low + 1, last);
      result[index] += (position - low) * (next - values[low]);
    }
  });
  return result;
}

/** Moves the value of rank k to place k, smaller ones before it (C. A. R. Hoare, Algorithm 65: Find). */
function selectRank(values: Float64Array, k: number, from: number, to: number): void {
  let left = from;
  let right = to;
  while (left < right) {
    const pivot = medianOfThree(values[left], values[(left + right) >> 1], values[right]);
    let i = left;
    let j = right;
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
      if (i > j) break;
      const swap = values[i];
      values[i] = values[j];
      values[j] = swap;
      i++;
      j--;
    }
    if (k <= j) right = j;
    else if (k >= i) left = i;
    else return;
  }
}

function medianOfThree(a: number, b: number, c: number): number {
  if (a < b) return b < c ? b : Math.max(a, c);
  return a < c ? a : Math.max(b, c);
}

function smallest(values: Float64Array, from: number, to: number): number {
  let least = values[from];
  for (let i = from + 1; i <= to; i++) if (values[i] < least) least = values[i];
  return least;
}
