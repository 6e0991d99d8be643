import { normalDensity, normalQuantile } from './normal.ts';

/**
 * How much of an outcome lies in the central interval of the given level: 1 or 0 for an exact one, for a count or an interval the
 * share of its probability integral transform inside, so that the mean is the level exactly where the forecasts are right.
 *
 * **Shapes** `below` ≤ `above`: the forecast's distribution function at the ends of what is known; equal: exact.
 * **Source** Czado, Gneiting and Held, Biometrics 65 (2009) 1254 (the transform spread evenly over such an outcome).
 * **Checked** tests/inference/scores-calibration.test.ts
 */
export function centralCoverage(below: number, above: number, level: number): number {
  const low = (1 - level) / 2;
  const high = 1 - low;
  if (!(above > below)) return below >= low && below <= high ? 1 : 0;
  return Math.max(0, Math.min(above, high) - Math.max(below, low)) / (above - below);
}

/**
 * Mean of a standard normal between two points of its distribution function: of an outcome known to lie in an interval, what its normal score
 * would be on average were the forecast right. Zero over many right forecasts, as the normal score itself; drawn towards zero where they are wrong.
 *
 * **Shapes** `below` ≤ `above`: the forecast's distribution function at the ends; where they are equal, `outermost` is how near to 0 or 1 the
 * outcome may be taken to lie.
 * **Checked** tests/inference/scores-calibration.test.ts
 */
export function expectedNormalScore(below: number, above: number, outermost: number): number {
  if (!(above > below)) return normalQuantile(Math.min(1 - outermost, Math.max(outermost, above)));
  return (normalDensity(normalQuantile(below)) - normalDensity(normalQuantile(above))) / (above - below);
}

/**
 * Exact two-sided p-value of `successes` in `n` trials at probability p: twice the smaller tail, at most 1.
 *
 * **Checked** tests/inference/scores-calibration.test.ts
 */
export function binomialPValue(successes: number, n: number, p: number): number {
  const logOdds = Math.log(p / (1 - p));
  let logMass = n * Math.log1p(-p);
  let lowerTail = 0;
  let upperTail = 0;
  for (let k = 0; k <= n; k += 1) {
    const mass = Math.exp(logMass);
    if (k <= successes) lowerTail += mass;
    if (k >= successes) upperTail += mass;
    logMass += Math.log((n - k) / (k + 1)) + logOdds;
  }
  return Math.min(1, 2 * Math.min(lowerTail, upperTail));
}
