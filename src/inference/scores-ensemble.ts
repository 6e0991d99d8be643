/**
 * Continuous ranked probability score of the empirical distribution of a sample: E|X − y| − ½ E|X − X′|, in the units of y.
 *
 * **Shapes** `sample`: any order; it is copied and sorted, O(n log n).
 * **Source** Gneiting and Raftery, JASA 102 (2007) 359, equation 21.
 * **Checked** tests/references/scores.test.ts
 */
export function crpsEnsemble(sample: ArrayLike<number>, y: number): number {
  return crpsOfSorted(Float64Array.from(sample).sort(), y);
}

/** The same of a sample already in ascending order, O(n): with xᵢ ascending, (2/n²) Σ (xᵢ − y)(n·1{y < xᵢ} − i + ½). */
export function crpsOfSorted(sorted: Float64Array, y: number): number {
  const n = sorted.length;
  let sum = 0;
  for (let i = 0; i < n; i += 1) sum += (sorted[i] - y) * ((y < sorted[i] ? n : 0) - i - 0.5);
  return (2 * sum) / (n * n);
}

/** Share of an ascending sample at or below y. */
export function shareAtOrBelow(sorted: Float64Array, y: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] <= y) low = middle + 1;
    else high = middle;
  }
  return low / sorted.length;
}
