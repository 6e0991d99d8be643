/** One look at something that happens once: how likely the forecast held it by then, and whether it had happened. */
export interface Look {
  readonly forecast: number;
  readonly happened: boolean;
}

/**
 * −log of the probability that the forecast gave to the interval which came: a proper score for interval-censored outcomes,
 * also where the looks stop at the first that finds it happened (it is the likelihood of what was seen).
 *
 * **Shapes** `below`, `above`: the forecast's distribution function at the two ends; 0 and 1 for open ends.
 * **Returns** Infinity where the interval was held impossible; from a sample of n, shares of (count + ½)/(n + 1) avoid that.
 * **Checked** tests/inference/scores-propriety.test.ts
 */
export function intervalLogScore(below: number, above: number): number {
  return -Math.log(above - below);
}

/**
 * Sum over the looks of (h − happened)², h the forecast's probability of happening by this look given that it had not by the one
 * before. Each term is a Brier score of what was still open, so the sum is proper although the looks stop with the outcome, and
 * it has a true zero: shares of it can be told ("a third less"), which a log score does not allow. (A CRPS that gives the interval
 * no weight is not proper here: where the interval depends on the outcome it rewards a forecast that is too narrow.)
 *
 * **Shapes** `looks`: in the order of time, the first that finds it happened last.
 * **Returns** 0 for no looks. A forecast that had held the past impossible counts as h = 1.
 * **Source** Dawid, J. R. Stat. Soc. A 147 (1984) 278 (scoring each forecast of a sequence on what was known); Brier (1950).
 * **Checked** tests/inference/scores-propriety.test.ts
 */
export function sequentialBrierScore(looks: readonly Look[]): number {
  let before = 0;
  let score = 0;
  for (const { forecast, happened } of looks) {
    const hazard = before < 1 ? (forecast - before) / (1 - before) : 1;
    score += (hazard - (happened ? 1 : 0)) ** 2;
    before = forecast;
  }
  return score;
}
