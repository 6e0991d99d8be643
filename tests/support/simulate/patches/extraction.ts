import type { Random } from '../../../../seed/random.ts';
import type { SectionOutcome } from '../types.ts';
import { type Bench, clean } from './bench.ts';
import { looksOf, quantile } from './dirt.ts';
import type { Engine } from './engines.ts';
import { dryPass, type Nozzle, pullOf, wetPass } from './passes.ts';
import { waterOf } from './water.ts';

/*
 * Extraction as people decide it: some passes over all by habit, then over what looks dirty, until it looks clean or patience runs out; dry
 * passes after each, at the end or seldom, as one has learnt it. Chances: common practice, no source.
 */

export interface Extraction {
  readonly passes: Pick<SectionOutcome, 'needed' | 'made' | 'clean' | 'dryPasses'>;
  /** L/m² left in, over the section. */
  readonly cloth: number;
  readonly foam: number;
}

/** `spotLeft`: L/m² that spot work before it left in the cloth. */
export function extract(bench: Bench, engine: Engine, spotLeft: number, random: Random): Extraction {
  const { visit, ledger, section, m2, cloth, awkward, dirt } = bench;
  if (section.brush !== 'none')
    ledger.handMinutes += m2 * 3.6 * cloth.slow * awkward * visit.slow * visit.spared * random.gamma(15);
  const water = waterOf(dirt.bound.length, spotLeft);
  const nozzle: Nozzle = { engine, pull: pullOf(bench), water };
  const done = goOver(bench, nozzle, random);
  const dryPasses = done.dryPasses + lastDryPasses(bench, nozzle, random);
  const passes = { needed: Math.max(done.needed, 1), made: Math.max(1, done.made), clean: done.clean, dryPasses };
  return { passes, cloth: mean(water.inCloth), foam: mean(water.inFoam) };
}

const mostRounds = 9;
/** A round over less than this share of the section is a touch-up, which nobody counts as a pass. */
const wholeShare = 0.35;

function goOver(bench: Bench, nozzle: Nozzle, random: Random): Extraction['passes'] {
  const habit = passesByHabit(bench, random);
  let [needed, made, touched, dryPasses] = [0, 0, 0, 0];
  const ended = (isClean: boolean) => ({ needed, made, clean: isClean, dryPasses });
  for (let round = 1; round <= mostRounds; round += 1) {
    const dirty = stillDirty(bench, round <= habit, random);
    const share = dirty.filter(Boolean).length / dirty.length;
    if (share === 0) return ended(true);
    wetPass(bench, nozzle, dirty, share, random);
    if (share >= wholeShare) made += 1;
    else touched += 1;
    if (driesEach(bench, share, random)) {
      dryPass(bench, nozzle, share, random);
      dryPasses += 1;
    }
    if (round < habit) continue;
    if (needed === 0 && isTrulyClean(bench)) needed = round;
    if (looksOf(bench.dirt, mean(nozzle.water.inCloth) / bench.cloth.holds, round, random) < bench.threshold)
      return ended(true);
    if (givesUp(bench, made + touched, random)) return ended(false);
  }
  return ended(false);
}

function passesByHabit({ visit, section }: Bench, random: Random): number {
  const fewer = section.soil === 'light' && random.chance(0.5) ? 1 : 0;
  return Math.max(1, visit.lead.leastPasses - fewer);
}

/** Which patches the next round goes over: all by habit, else what looks dirty at a glance. */
function stillDirty({ dirt, threshold }: Bench, isHabit: boolean, random: Random): boolean[] {
  return dirt.bound.map((bound) => isHabit || bound * random.spread(0.25) > threshold * 0.8);
}

/** To the customer's eye and the shop's standard, nearly all over. */
function isTrulyClean({ dirt, visit }: Bench): boolean {
  return quantile(dirt.bound, 0.85) < clean * visit.shop.standard;
}

function givesUp({ visit }: Bench, rounds: number, random: Random): boolean {
  if (rounds < 2) return false;
  return random.chance(((visit.isHurried ? 0.22 : 0.1) * (rounds - 1)) / visit.lead.patience);
}

function driesEach({ visit }: Bench, share: number, random: Random): boolean {
  const { lead, isHurried } = visit;
  return lead.dryStyle === 'each' && share >= wholeShare && !random.chance(isHurried ? 0.3 : 0.08);
}

/** One at the end where that is the style, now and then one more; returns how many. */
function lastDryPasses(bench: Bench, nozzle: Nozzle, random: Random): number {
  const { lead, isHurried } = bench.visit;
  let count = 0;
  const again = () => {
    dryPass(bench, nozzle, 1, random);
    count += 1;
  };
  if (lead.dryStyle === 'last' && !random.chance(isHurried ? 0.25 : 0.06)) again();
  if (lead.dryStyle === 'seldom' && random.chance(0.3)) again();
  if (lead.dryStyle !== 'seldom' && random.chance(0.25 * lead.dryRatio)) again();
  return count;
}

function mean(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0) / values.length;
}
