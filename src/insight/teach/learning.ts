import { factorise, packedLength, solveLower } from '../../inference/cholesky.ts';
import { type Entries, predictorAt } from '../../models/layout.ts';

/** A reading that might be taken: the linear predictor that it tells of, and the variance with which it does. */
export interface PossibleReading {
  readonly entries: Entries;
  readonly variance: number;
}

/** What readings would teach a model: how much of a predictor's variance they would take away. */
export interface Learning {
  /** Of a linear predictor, now. */
  variance(entries: Entries): number;
  /** Of each target's variance the part that goes, all readings taken: xᵀ V Zᵀ (Z V Zᵀ + S)⁻¹ Z V x. */
  reductions(readings: readonly PossibleReading[], targets: readonly Entries[]): Float64Array;
}

/**
 * Coefficients as one normal distribution of this packed covariance, learnt on by linear readings with normal errors: what they would say is
 * not needed for how much they would say.
 *
 * **Checked** tests/insight/teach.test.ts, against refitting
 */
export function learningFrom(covariance: Float64Array, n: number): Learning {
  const at = (i: number, j: number) => covariance[packedLength(Math.max(i, j)) + Math.min(i, j)];
  /** V z, from which each covariance with another predictor is a few products. */
  const image = (entries: Entries) => {
    const result = new Float64Array(n);
    for (const [i, z] of entries) for (let j = 0; j < n; j++) result[j] += z * at(i, j);
    return result;
  };
  return {
    variance: (entries) => predictorAt(image(entries), entries),
    reductions: (readings, targets) => {
      const images = readings.map(({ entries }) => image(entries));
      const factor = new Float64Array(packedLength(readings.length));
      readings.forEach(({ entries, variance }, i) => {
        for (let j = 0; j <= i; j++) factor[packedLength(i) + j] = predictorAt(images[j], entries);
        factor[packedLength(i) + i] += variance;
      });
      factorise(factor, readings.length, factor);
      return Float64Array.from(targets, (target) => {
        const shared = Float64Array.from(images, (of) => predictorAt(of, target));
        solveLower(factor, readings.length, shared);
        return shared.reduce((sum, value) => sum + value * value, 0);
      });
    },
  };
}
