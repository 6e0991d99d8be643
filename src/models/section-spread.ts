/** Logarithms of the factor that are tried lie so far apart, up to so many steps from the rule's. */
const step = 0.35;
const mostSteps = 4;
/** Spread of the factor's logarithm from shop to shop. Common practice, no source. */
const logSd = 0.35;

/** As far as the rules have it. */
export const spreadByRule = 1;

/**
 * How far the water of a job's sections lies apart, as a factor on the error that the rules give each: the top of the parabola through the log
 * posterior at three factors a step apart, the middle one the highest that was tried.
 *
 * @param logMarginal of the water model at a factor; undefined where it cannot be fitted there
 * **Returns** the rule where that says nothing.
 * **Checked** tests/models/section-spread.test.ts
 */
export function likeliestSpread(logMarginal: (factor: number) => number | undefined): number {
  const logPosterior = (steps: number): number =>
    (logMarginal(Math.exp(steps * step)) ?? Number.NaN) - 0.5 * ((steps * step) / logSd) ** 2;
  let middle = 0;
  let [below, here, above] = [-1, 0, 1].map(logPosterior);
  while (above > here && middle < mostSteps) [below, here, above] = [here, above, logPosterior(++middle + 1)];
  while (below > here && middle > -mostSteps) [below, here, above] = [logPosterior(--middle - 1), below, here];
  const curvature = 2 * here - above - below;
  if (!(curvature > 0)) return spreadByRule;
  const moved = (above - below) / (2 * curvature);
  return Math.exp(step * (middle + Math.min(1, Math.max(-1, moved))));
}
