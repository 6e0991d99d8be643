import type { Random } from '../../../../seed/random.ts';
import type { SectionOutcome } from '../types.ts';
import { type Bench, layOut } from './bench.ts';
import type { Wet } from './drying.ts';
import { extract } from './extraction.ts';
import { isSeat } from './reach.ts';
import { passesAsClean, workSpots } from './spot.ts';
import type { Ledger, Visit } from './visit.ts';

/*
 * One section from the vacuum to the last dry pass: spot work alone, extraction, or the one before the other; and how wet it is then.
 */

export interface SectionWork {
  readonly passes: Pick<SectionOutcome, 'needed' | 'made' | 'clean' | 'dryPasses'>;
  readonly spotRounds: number;
  /** The extractor was over it. */
  readonly isExtracted: boolean;
  readonly wet: Wet;
  /** Minutes of work gone by when it was done. */
  readonly doneAt: number;
}

export function workSection(i: number, visit: Visit, ledger: Ledger, random: Random): SectionWork {
  const bench = layOut(i, visit, ledger, random);
  const spots = workSpots(bench, random);
  const { method } = bench.section;
  const isExtracted = method !== 'spot' && visit.engine !== undefined;
  const { passes, cloth, foam } =
    method === 'spot' || !visit.engine
      ? { passes: spotPasses(bench, spots.rounds, random), cloth: spots.left * 0.9, foam: spots.left * 0.1 }
      : extract(bench, visit.engine, spots.left, random);
  const doneAt = ledger.handMinutes + ledger.machineMinutes;
  return { passes, spotRounds: spots.rounds, isExtracted, wet: wetOf(bench, cloth, foam), doneAt };
}

/** Rounds of spot work stand for passes; what it would have needed nobody looks at. */
function spotPasses(bench: Bench, rounds: number, random: Random): SectionWork['passes'] {
  return { needed: rounds, made: rounds, clean: passesAsClean(bench, random), dryPasses: 0 };
}

function wetOf({ section, visit, cloth, depth }: Bench, inCloth: number, inFoam: number): Wet {
  return {
    cloth: inCloth,
    foam: inFoam,
    depth,
    holds: cloth.holds,
    isOut: visit.planned.seatsRemoved && isSeat(section.area),
    isMat: section.area === 'floor-mats',
  };
}
