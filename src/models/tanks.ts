import { quantiles } from '../inference/quantile.ts';

/** How far what a job's tanks tell can be trusted, beside the step in which they are read. */
export interface Tanks {
  /**
   * Standard deviation of a reading as a part of what the tank holds: it stands aslant, the water foams, the scale is coarse. What is left is a
   * small difference of two such readings, and the less sure the more went through.
   */
  readonly noise: number;
  /** What goes through the tanks of a usual job here, over the litres that the rules of thumb expect to be left: the root of both readings' squares. */
  readonly through: number;
}

/** Parts of what a tank holds that are tried, with the prior of a half-normal of this scale. Common practice, no source. */
const tried = [0, 0.01, 0.02, 0.03];
const priorScale = 0.0125;

/** Five times as much sprayed as is left, four fifths of it recovered. Common practice, no source. */
const usualThrough = 6.4;

export const tanksByRule: Tanks = { noise: meanNoise(tried.map(logPrior)), through: usualThrough };

/** A slip in the surface or the litres of a shop's few readings is no work: beyond so many times the rule's nothing is told of it. */
const mostUsual = 10 * usualThrough;

/** What usually goes through: the median of what it was. */
export function usualOf(through: readonly number[]): number {
  const [median] = quantiles(
    Float64Array.from(through, (one) => Math.min(mostUsual, one)),
    [0.5],
  );
  return median;
}

/** Variance of the log litres left by what the tanks are off. */
export function logVariance({ noise, through }: Tanks): number {
  return (noise * through) ** 2;
}

/**
 * What the noise is taken for.
 *
 * @param logMarginal of the water model at a noise; undefined where it cannot be fitted there
 * **Returns** the rule's where it can be fitted at none.
 * **Checked** tests/models/tanks.test.ts
 */
export function likeliestNoise(logMarginal: (noise: number) => number | undefined): number {
  const logPosterior = tried.map((noise) => (logMarginal(noise) ?? Number.NEGATIVE_INFINITY) + logPrior(noise));
  return logPosterior.some(Number.isFinite) ? meanNoise(logPosterior) : tanksByRule.noise;
}

/** Half-normal, up to a constant. */
function logPrior(noise: number): number {
  return -0.5 * (noise / priorScale) ** 2;
}

/** The root of the mean square over the values that are tried: variances are what the rows add. */
function meanNoise(logWeights: readonly number[]): number {
  const highest = Math.max(...logWeights);
  const weights = logWeights.map((log) => Math.exp(log - highest));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return Math.sqrt(weights.reduce((sum, weight, i) => sum + weight * tried[i] ** 2, 0) / total);
}
