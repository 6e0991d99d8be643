const N_BINS = 512;
/** Shorter samples are sorted: quicker than counting. */
const FEW = 256;

/**
 * Quantiles of a sample, linear between the two neighbouring order statistics (definition 7 of Hyndman and Fan 1996).
 * One reading counts the values in equal bins, a second collects the few bins that hold a wanted rank, and only those are sorted: no branch of either
 * loop depends on chance, which makes it twice as fast as selection by splitting. A sample that crowds into one bin is in effect sorted.
 *
 * **Returns** one value a probability, whatever their order; NaN for an empty sample, or where a NaN is in it.
 * **Checked** tests/inference/quantile.test.ts
 */
export function quantiles(sample: Float64Array, probabilities: readonly number[]): Float64Array {
  const positions = Float64Array.from(probabilities, (probability) => probability * (sample.length - 1));
  const { least, most } = range(sample);
  if (Number.isNaN(least)) return positions.fill(Number.NaN);
  const scale = (N_BINS - 1) / (most - least);
  if (sample.length < FEW || !(scale > 0 && scale < Number.POSITIVE_INFINITY)) {
    const sorted = sample.toSorted();
    return interpolated(positions, (rank) => sorted[rank]);
  }
  const rankStart = binStarts(sample, least, scale);
  const wanted = wantedBins(positions, rankStart);
  const groups = collected(sample, least, scale, rankStart, wanted);
  return interpolated(positions, (rank) => {
    const bin = binOfRank(rankStart, rank);
    return groups[wanted[bin] - 1][rank - rankStart[bin]];
  });
}

function interpolated(positions: Float64Array, valueAt: (rank: number) => number): Float64Array {
  return positions.map((position) => {
    const rank = Math.floor(position);
    const low = valueAt(rank);
    const high = position > rank ? valueAt(rank + 1) : low;
    return high > low ? low + (position - rank) * (high - low) : low;
  });
}

/** NaN as the least of nothing, and wherever a NaN is met. */
function range(sample: Float64Array): { least: number; most: number } {
  let least = sample.length > 0 ? Number.POSITIVE_INFINITY : Number.NaN;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < sample.length; i++) {
    const value = sample[i];
    if (!(value < least || value >= least)) return { least: Number.NaN, most };
    if (value < least) least = value;
    if (value > most) most = value;
  }
  return { least, most };
}

/** How many values lie in the bins before each; one entry more than bins. */
function binStarts(sample: Float64Array, least: number, scale: number): Int32Array {
  const starts = new Int32Array(N_BINS + 1);
  for (let i = 0; i < sample.length; i++) starts[Math.trunc((sample[i] - least) * scale) + 1] += 1;
  for (let bin = 0; bin < N_BINS; bin++) starts[bin + 1] += starts[bin];
  return starts;
}

/** For every bin the number, from 1, of its group; 0 where no wanted rank lies in it. */
function wantedBins(positions: Float64Array, rankStart: Int32Array): Int32Array {
  const wanted = new Int32Array(N_BINS);
  let groups = 0;
  for (const position of positions) {
    for (const rank of [Math.floor(position), Math.ceil(position)]) {
      const bin = binOfRank(rankStart, rank);
      if (wanted[bin] === 0) wanted[bin] = ++groups;
    }
  }
  return wanted;
}

function collected(
  sample: Float64Array,
  least: number,
  scale: number,
  rankStart: Int32Array,
  wanted: Int32Array,
): Float64Array[] {
  const groups: Float64Array[] = [];
  wanted.forEach((group, bin) => {
    if (group > 0) groups[group - 1] = new Float64Array(rankStart[bin + 1] - rankStart[bin]);
  });
  const filled = new Int32Array(groups.length);
  for (let i = 0; i < sample.length; i++) {
    const group = wanted[Math.trunc((sample[i] - least) * scale)];
    if (group > 0) groups[group - 1][filled[group - 1]++] = sample[i];
  }
  for (const group of groups) group.sort();
  return groups;
}

/** The last bin that begins at or before a rank and is not empty there. */
function binOfRank(rankStart: Int32Array, rank: number): number {
  let low = 0;
  let high = N_BINS - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (rankStart[middle] <= rank) low = middle;
    else high = middle - 1;
  }
  return low;
}
