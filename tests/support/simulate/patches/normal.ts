import type { Random } from '../../../../seed/random.ts';

/** Chance that a standard normal value lies below x. **Source** Abramowitz and Stegun 26.2.17, good to 7.5e-8; coefficients from memory. */
export function normalBelow(x: number): number {
  if (x === Number.POSITIVE_INFINITY) return 1;
  if (x === Number.NEGATIVE_INFINITY) return 0;
  const t = 1 / (1 + 0.2316419 * Math.abs(x));
  const tail =
    (Math.exp(-0.5 * x * x) / 2.506628275) *
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return x >= 0 ? 1 - tail : tail;
}

/** A standard normal value given that it lies between two bounds, by halving: 24 halves of twelve are below a millionth. */
export function normalWithin(low: number, high: number, random: Random): number {
  const [below, above] = [normalBelow(low), normalBelow(high)];
  const wanted = below + (above - below) * random.uniform();
  let [from, to] = [Math.max(-6, low), Math.min(6, high)];
  // bounds that lie beyond six deviations leave only the one nearer to the middle
  if (from >= to) return Math.abs(low) < Math.abs(high) ? low : high;
  for (let i = 0; i < 24; i += 1) {
    const half = (from + to) / 2;
    if (normalBelow(half) < wanted) from = half;
    else to = half;
  }
  return (from + to) / 2;
}
