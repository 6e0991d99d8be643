import { normalQuantile } from '../../inference/normal.ts';
import { chanceOfGivingUp, type Stops, stopsOf } from '../giving-up.ts';
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

/** How somebody works on one section, as standard-normal thresholds. */
interface Style {
  /** Below the k-th one goes on after pass k that did not do it, with the chance of all who have gone on so far. */
  readonly lasting: Float64Array;
  /** Below it a second pass is made although the first did it. */
  readonly toBeSafe: number;
}

/** The passes that each section needs, and those it gets: cut short by the chance of giving up after each, a second one by whoever is given to it. */
export function simulatePasses(
  draws: ModelDraws,
  { givingUp, secondPasses }: Pick<ShopFit, 'givingUp' | 'secondPasses'>,
  { sections, technicians, namedTechnicians }: PlannedWork,
  { technician }: OptionDraws,
): readonly PassesDraws[] {
  const known = new Map<Stops, Float64Array>();
  const lastingOf = (stops: Stops) => {
    const lasting = known.get(stops) ?? lastingThresholds(stops);
    known.set(stops, lasting);
    return lasting;
  };
  return draws.levels.map((level, s) => {
    const styles = technicians.map(({ key }): Style => {
      const person = namedTechnicians[s] ?? key;
      const lasting = lastingOf(stopsOf(givingUp, person));
      return { lasting, toBeSafe: normalQuantile(secondPassChance(secondPasses, sections[s], person)) };
    });
    const needed = passesNeeded(level, draws.sigma, s);
    return { needed, made: passesMade(needed, styles, technician, s) };
  });
}

function passesNeeded(level: Float64Array, sigma: Float64Array, s: number): Uint8Array {
  const error = normalDraws('passesError', level.length, s);
  const needed = new Uint8Array(level.length);
  for (let d = 0; d < needed.length; d++) {
    const effort = level[d] + sigma[d] * error[d];
    let passes = 1;
    while (passes < mostPasses && effort > logPasses[passes]) passes++;
    needed[d] = passes;
  }
  return needed;
}

function passesMade(needed: Uint8Array, styles: readonly Style[], technician: Uint16Array, s: number): Uint8Array {
  const patience = normalDraws('givingUp', needed.length, s);
  const caution = normalDraws('toBeSafe', needed.length, s);
  return needed.map((passes, d) => {
    const { lasting, toBeSafe } = styles[technician[d]];
    if (passes === 1) return caution[d] < toBeSafe ? 2 : 1;
    let kept = 1;
    while (kept < passes && patience[d] < lasting[kept]) kept++;
    return kept;
  });
}

function lastingThresholds(stops: Stops): Float64Array {
  const thresholds = new Float64Array(mostPasses + 1).fill(Number.POSITIVE_INFINITY);
  let lasting = 1;
  for (let k = 1; k <= mostPasses; k++) {
    lasting *= 1 - chanceOfGivingUp(stops, k);
    thresholds[k] = normalQuantile(lasting);
  }
  return thresholds;
}
