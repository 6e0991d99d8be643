import type { Random } from '../../../../seed/random.ts';
import type { Bench } from './bench.ts';
import { looksOf } from './dirt.ts';

/*
 * Spot work: spray, brush in small circles, wipe; the whole section where it is the only method, the dirty places where the extraction
 * follows. It ends by eye or for want of patience and wets little. Minutes, litres and shares: common practice, no source.
 */

export interface SpotWork {
  readonly rounds: number;
  /** L/m² left in, over the section. */
  readonly left: number;
}

export function workSpots(bench: Bench, random: Random): SpotWork {
  const { section, visit, ledger, dirt, threshold } = bench;
  if (section.method === 'extraction') return { rounds: 0, left: 0 };
  const isAlone = section.method === 'spot';
  const most = isAlone ? 5 : 3;
  const limit = (isAlone ? 1.5 : 2.1) * threshold; // the customer of spot work, and the machine to come, forgive more
  let [rounds, left] = [0, 0];
  for (; rounds < most; rounds += 1) {
    if (rounds > 0 && looksOf(dirt, 0, rounds, random) < limit) break;
    if (rounds >= 2 && random.chance(0.22 / visit.lead.patience)) break;
    left += workRound(bench, isAlone, limit, random);
  }
  // each stain by itself, with what it needs
  if (!isAlone) ledger.handMinutes += section.stains.length * 4 * random.gamma(3) * visit.slow;
  return { rounds, left };
}

/** Does it pass as clean after spot work alone? */
export function passesAsClean({ dirt, threshold }: Bench, random: Random): boolean {
  return looksOf(dirt, 0, 3, random) < 1.7 * threshold;
}

/** One round; returns the L/m² that the wiping leaves. */
function workRound(bench: Bench, isAlone: boolean, limit: number, random: Random): number {
  const { section, visit, ledger, cloth, m2, awkward, loosens } = bench;
  const { bound } = bench.dirt;
  const share = isAlone ? 1 : Math.min(0.5, 0.12 + 0.1 * section.stains.length);
  for (let p = 0; p < bound.length; p += 1) if (isAlone || bound[p] > limit) bound[p] *= Math.exp(-0.65 * loosens);
  const minutes = share * m2 * 7.5 * cloth.slow * awkward ** 1.2 * visit.slow * random.gamma(12);
  ledger.handMinutes += minutes + 1.2 * section.count;
  const put = 0.055 * share * visit.lead.trigger ** 0.6 * visit.shop.water ** 0.5;
  return put * (1 - 0.45 * random.between(0.8, 1.2)); // a dry cloth takes some of it up again
}
