import { normalQuantile } from '../../inference/normal.ts';
import { chanceOfGivingUp, type GivingUp } from '../giving-up.ts';
import { secondPassChance } from '../second-pass.ts';
import type { ShopFit } from '../shop-fit.ts';
import type { ModelDraws } from './model-draws.ts';
import { normalDraws } from './noise.ts';
import type { OptionDraws } from './option-draws.ts';
import type { PlannedWork } from './planned-work.ts';

/** Passes of one section, one entry a draw: needed until clean, and made: fewer where it was given up, two for one to be safe. */
export interface PassesDraws {
  readonly needed: Uint8Array;
  readonly made: Uint8Array;
}

/** Counting ends here: nobody makes as many. */
const mostPasses = 40;
const logPasses = Float64Array.from({ length: mostPasses + 1 }, (_, k) => Math.log(k));

/** The passes that each section needs, and those it gets: cut short by the chance of giving up after each, a second one by whoever is given to it. */
export function simulatePasses(
  draws: ModelDraws,
  { givingUp, secondPasses }: Pick<ShopFit, 'givingUp' | 'secondPasses'>,
  work: PlannedWork,
  { technician }: OptionDraws,
): readonly PassesDraws[] {
  const lasting = lastingThresholds(givingUp);
  return draws.levels.map((level, s) => {
    const made = sectionPasses(level, draws.sigma, s, lasting);
    const chances = work.technicians.map(({ key }) =>
      secondPassChance(secondPasses, work.sections[s], work.namedTechnicians[s] ?? key),
    );
    addToBeSafe(made, chances.map(normalQuantile), technician, s);
    return made;
  });
}

/** @param thresholds standard-normal, by the technician's place: below it a second pass is made although the first did it */
function addToBeSafe({ needed, made }: PassesDraws, thresholds: readonly number[], technician: Uint16Array, s: number) {
  const toBeSafe = normalDraws('toBeSafe', needed.length, s);
  for (let d = 0; d < needed.length; d++) if (needed[d] === 1 && toBeSafe[d] < thresholds[technician[d]]) made[d] = 2;
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
