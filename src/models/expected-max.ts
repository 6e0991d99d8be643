import { normalDensity, normalProbability } from '../inference/normal.ts';

/** Mean and variance. */
export interface Moments {
  readonly mean: number;
  readonly variance: number;
}

/**
 * Mean and variance of the largest of independent normals, two at a time, each maximum taken as normal in its turn.
 * Source: C. E. Clark, The greatest of a finite set of random variables, Operations Research 9 (1961); exact for two.
 * Throws on an empty list.
 */
export function expectedMax(values: readonly Moments[]): Moments {
  const descending = [...values].sort((a, b) => b.mean - a.mean);
  return descending.reduce(maxOfTwo);
}

function maxOfTwo(a: Moments, b: Moments): Moments {
  const theta = Math.sqrt(a.variance + b.variance);
  if (theta === 0) return a.mean >= b.mean ? a : b;
  const alpha = (a.mean - b.mean) / theta;
  const [above, below, density] = [normalProbability(alpha), normalProbability(-alpha), normalDensity(alpha)];
  const mean = a.mean * above + b.mean * below + theta * density;
  const second =
    (a.mean ** 2 + a.variance) * above + (b.mean ** 2 + b.variance) * below + (a.mean + b.mean) * theta * density;
  return { mean, variance: Math.max(0, second - mean ** 2) };
}
