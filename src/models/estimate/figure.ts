import { quantiles } from '../../inference/quantile.ts';

/** Quantiles of a figure of an estimate: p80 = 3.9 says that it is 3.9 or less in four jobs of five. */
export interface Quantiles {
  readonly p05: number;
  readonly p10: number;
  readonly p25: number;
  readonly p50: number;
  readonly p75: number;
  readonly p80: number;
  readonly p90: number;
  readonly p95: number;
}

const probabilities = [0.05, 0.1, 0.25, 0.5, 0.75, 0.8, 0.9, 0.95] as const;

export function quantilesOf(draws: Float64Array): Quantiles {
  const [p05, p10, p25, p50, p75, p80, p90, p95] = quantiles(draws, probabilities).map(significant);
  return { p05, p10, p25, p50, p75, p80, p90, p95 };
}

export function quantileOf(draws: Float64Array, probability: number): number {
  return quantiles(draws, [probability])[0];
}

/** Mean of draws. */
export function meanOf(draws: ArrayLike<number>): number {
  let sum = 0;
  for (let d = 0; d < draws.length; d++) sum += draws[d];
  return sum / draws.length;
}

/** Share of draws, 0 to 1, for which something holds. */
export function chanceThat(draws: Float64Array, holds: (value: number) => boolean): number {
  let count = 0;
  for (let d = 0; d < draws.length; d++) if (holds(draws[d])) count++;
  return count / draws.length;
}

/**
 * Mean of the middle 98 per cent of draws: exp of a Student t has no mean, so the wildest hundredth at either end is left out and the
 * name says so.
 */
export function middleMeanOf(draws: Float64Array): number {
  const [low, high] = quantiles(draws, [0.01, 0.99]);
  let sum = 0;
  let count = 0;
  for (let d = 0; d < draws.length; d++)
    if (draws[d] >= low && draws[d] <= high) {
      sum += draws[d];
      count++;
    }
  return sum / count;
}

/** How much narrower a range gets, 0 to 1, where this part of its variance falls away: it goes with the standard deviation. */
export function narrowed(part: number): number {
  return Math.round(1000 * (1 - Math.sqrt(Math.max(0, 1 - part)))) / 1000;
}

/** Five significant digits: more than any forecast here knows, few enough to read. */
export function significant(value: number): number {
  return Number(value.toPrecision(5));
}
