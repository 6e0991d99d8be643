import { quantiles } from '../inference/quantile.ts';
import { significant } from '../models/estimate/figure.ts';

/** A figure with its 90 % range. */
export interface Range {
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
}

export function rangeOf(draws: Float64Array): Range {
  const [p05, p50, p95] = quantiles(draws, [0.05, 0.5, 0.95]);
  return { p05: significant(p05), p50: significant(p50), p95: significant(p95) };
}

/** Share of draws, 0 to 1, for which something holds. */
export function chanceThat(draws: Float64Array, holds: (value: number) => boolean): number {
  let count = 0;
  for (const value of draws) if (holds(value)) count++;
  return count / draws.length;
}
