import { logGamma } from './normal.ts';

/**
 * Regularised incomplete beta function I_x(a, b): the probability that a Beta(a, b) lies below x.
 * By Lentz's continued fraction, on the side where it converges fast.
 * **Source** Abramowitz & Stegun 26.5.8. **Checked** tests/inference/beta.test.ts
 */
export function betaProbability(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - betaProbability(1 - x, b, a);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
  return (front * fraction(x, a, b)) / a;
}

/** The quantile of a Beta(a, b), by bisection to 1e-12. */
export function betaQuantile(p: number, a: number, b: number): number {
  let low = 0;
  let high = 1;
  while (high - low > 1e-12) {
    const middle = 0.5 * (low + high);
    if (betaProbability(middle, a, b) < p) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

function fraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1), tiny);
  let value = d;
  for (let m = 1; m <= 500; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d, tiny);
    c = nonZero(1 + even / c, tiny);
    value *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d, tiny);
    c = nonZero(1 + odd / c, tiny);
    value *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) return value;
  }
  return Number.NaN;
}

function nonZero(value: number, tiny: number): number {
  return Math.abs(value) < tiny ? tiny : value;
}
