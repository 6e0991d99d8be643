import { normalQuantile } from '../../inference/normal.ts';
import { chanceOfGivingUp, type GivingUp } from '../giving-up.ts';
import type { ModelDraws } from './model-draws.ts';
import { normalDraws } from './noise.ts';

/** Passes of one section, one entry a draw: needed until clean, and made before clean or given up. */
export interface PassesDraws {
  readonly needed: Uint8Array;
  readonly made: Uint8Array;
}

/** Counting ends here: nobody makes as many. */
const mostPasses = 40;
const logPasses = Float64Array.from({ length: mostPasses + 1 }, (_, k) => Math.log(k));

/** The passes that each section needs, and those it gets: cut short by the chance of giving up after each. */
export function simulatePasses(draws: ModelDraws, givingUp: GivingUp): readonly PassesDraws[] {
  const lasting = lastingThresholds(givingUp);
  return draws.levels.map((level, s) => sectionPasses(level, draws.sigma, s, lasting));
}

function sectionPasses(level: Float64Array, sigma: Float64Array, s: number, lasting: Float64Array): PassesDraws {
  const nDraws = level.length;
  const error = normalDraws('passesError', nDraws, s);
  const patience = normalDraws('givingUp', nDraws, s);
  const needed = new Uint8Array(nDraws);
  const made = new Uint8Array(nDraws);
  for (let d = 0; d < nDraws; d++) {
    const effort = level[d] + sigma[d] * error[d];
    let passes = 1;
    while (passes < mostPasses && effort > logPasses[passes]) passes++;
    let kept = 1;
    while (kept < passes && patience[d] < lasting[kept]) kept++;
    needed[d] = passes;
    made[d] = kept;
  }
  return { needed, made };
}

/** Standard-normal thresholds: below the k-th one goes on after pass k, with the chance of all who have gone on so far. */
function lastingThresholds(givingUp: GivingUp): Float64Array {
  const thresholds = new Float64Array(mostPasses + 1).fill(Number.POSITIVE_INFINITY);
  let lasting = 1;
  for (let k = 1; k <= mostPasses; k++) {
    lasting *= 1 - chanceOfGivingUp(givingUp, k);
    thresholds[k] = normalQuantile(lasting);
  }
  return thresholds;
}
