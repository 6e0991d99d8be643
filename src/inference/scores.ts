import { HALF_LOG_2PI, normalDensity, normalProbability } from './normal.ts';

/**
 * Continuous ranked probability score of a normal forecast, ∫ (F(t) − 1{y ≤ t})² dt, in the units of y: the absolute error
 * of a point forecast, generalised. All scores here are losses: smaller is better.
 *
 * **Source** Gneiting et al., Mon. Weather Rev. 133 (2005) 1098; σ(z(2Φ(z) − 1) + 2φ(z) − 1/√π).
 * **Checked** tests/references/scores.test.ts
 */
export function crpsNormal(y: number, mean: number, sd: number): number {
  if (!(sd > 0)) return sd === 0 ? Math.abs(y - mean) : Number.NaN;
  const z = (y - mean) / sd;
  return sd * (z * (2 * normalProbability(z) - 1) + 2 * normalDensity(z) - 1 / Math.sqrt(Math.PI));
}

/**
 * The same of a log-normal forecast, on the natural scale of y; log y has mean `meanLog` and standard deviation `sdLog`.
 *
 * **Source** Baran and Lerch, Q. J. R. Meteorol. Soc. 141 (2015) 2289.
 * **Checked** tests/references/scores.test.ts
 */
export function crpsLogNormal(y: number, meanLog: number, sdLog: number): number {
  if (!(sdLog > 0)) return sdLog === 0 ? Math.abs(y - Math.exp(meanLog)) : Number.NaN;
  const z = y > 0 ? (Math.log(y) - meanLog) / sdLog : Number.NEGATIVE_INFINITY;
  const mean = Math.exp(meanLog + (sdLog * sdLog) / 2);
  return (
    y * (2 * normalProbability(z) - 1) -
    2 * mean * (normalProbability(z - sdLog) + normalProbability(sdLog / Math.SQRT2) - 1)
  );
}

/** −log density of a normal forecast at y. */
export function logScoreNormal(y: number, mean: number, sd: number): number {
  const z = (y - mean) / sd;
  return 0.5 * z * z + HALF_LOG_2PI + Math.log(sd);
}

/** −log density of a log-normal forecast at y, on the natural scale of y; Infinity for y ≤ 0. */
export function logScoreLogNormal(y: number, meanLog: number, sdLog: number): number {
  return y > 0 ? logScoreNormal(Math.log(y), meanLog, sdLog) + Math.log(y) : Number.POSITIVE_INFINITY;
}

/** Loss of a forecast of the quantile at probability `tau`: tau a unit below y, 1 − tau a unit above it. */
export function pinballLoss(y: number, quantile: number, tau: number): number {
  return y >= quantile ? tau * (y - quantile) : (1 - tau) * (quantile - y);
}

/**
 * Score of a central (1 − alpha) interval: its width, and 2/alpha for each unit by which y lies outside.
 *
 * **Source** Gneiting and Raftery, JASA 102 (2007) 359, equation 43.
 */
export function intervalScore(y: number, lower: number, upper: number, alpha: number): number {
  return upper - lower + (2 / alpha) * (Math.max(0, lower - y) + Math.max(0, y - upper));
}

/**
 * Ranked probability score of a forecast over ordered classes: the sum of squared differences of the cumulative
 * probabilities, not divided by the number of classes.
 *
 * **Shapes** `probabilities`: one a class, summing to 1; `observed`: index of the class that came.
 * **Source** Epstein, J. Appl. Meteorol. 8 (1969) 985, in the form of Wilks' textbook.
 * **Checked** tests/references/scores.test.ts
 */
export function rankedProbabilityScore(probabilities: ArrayLike<number>, observed: number): number {
  let below = 0;
  let score = 0;
  for (let k = 0; k < probabilities.length - 1; k += 1) {
    below += probabilities[k];
    score += (below - (observed <= k ? 1 : 0)) ** 2;
  }
  return score;
}
