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
