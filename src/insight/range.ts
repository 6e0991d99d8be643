import { betaQuantile } from '../inference/beta.ts';
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

/** Of a share whose distribution is a Beta(a, b). */
export function betaRange(a: number, b: number): Range {
  const at = (p: number) => significant(betaQuantile(p, a, b));
  return { p05: at(0.05), p50: at(0.5), p95: at(0.95) };
}

/** Of the share that so many cases among so many jobs tell: Jeffreys' interval, Beta(cases + ½, others + ½). */
export function shareRange(cases: number, jobs: number): Range {
  return betaRange(cases + 0.5, jobs - cases + 0.5);
}
