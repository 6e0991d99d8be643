import { logGamma, normalProbability } from './normal.ts';

/**
 * d₂: mean range of n standard normals, ∫ 1 − Φⁿ − (1 − Φ)ⁿ; 2/√π for two.
 * Trapezoidal rule, which for a smooth integrand that vanishes at both ends is exact to rounding.
 *
 * **Source** Tippett, Biometrika 17 (1925) 364. **Checked** tests/references/control-charts.test.ts
 */
export function meanRangeFactor(n: number): number {
  const step = 0.05;
  let sum = 0;
  for (let x = -9; x <= 9; x += step) sum += 1 - normalProbability(x) ** n - normalProbability(-x) ** n;
  return sum * step;
}

/** d₃ for two: standard deviation of the range of two standard normals, √(2 − 4/π). */
export const rangeSpreadFactor = Math.sqrt(2 - 4 / Math.PI);

/**
 * c₄: mean of the sample standard deviation of n standard normals; dividing by it takes the bias of a small sample away.
 *
 * **Checked** tests/references/control-charts.test.ts
 */
export function meanDeviationFactor(n: number): number {
  return Math.sqrt(2 / (n - 1)) * Math.exp(logGamma(n / 2) - logGamma((n - 1) / 2));
}
