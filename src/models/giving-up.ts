import type { FinishedJob } from '../domain/record.ts';
import { ofTechnician } from './by-technician.ts';
import { pseudoRecords, ruleOf } from './rule-table.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';
import { mainTechnician } from './work-section.ts';

/** A Beta distribution of the chance that the passes stop here although the section is not clean. */
interface BetaCount {
  readonly gaveUp: number;
  readonly wentOn: number;
}

/** After pass k = 1, 2 … 7; the last entry stands for 7 and beyond. */
export type Stops = readonly BetaCount[];

export interface GivingUp {
  readonly everybody: Stops;
  /** Each one's own counts on top of as many of everybody's as the rules have pseudo-records: people differ in patience. */
  readonly byTechnician: Readonly<Record<string, Stops>>;
}

const lastCounted = 7;

/** Counts of giving up after each pass, everybody's on top of the rules' pseudo-records. */
export function givingUpCounts(records: readonly FinishedJob[], rules: readonly RuleOfThumb[]): GivingUp {
  const seen = new Map<string, Tally>();
  for (const job of records)
    for (const { technician = mainTechnician(job), wetPasses, result } of job.sections) {
      const own = seen.get(technician) ?? emptyTally();
      seen.set(technician, own);
      for (let k = 1; k < wetPasses; k++) add(own.wentOn, k);
      if (result !== 'clean' && wetPasses > 0) add(own.gaveUp, wetPasses);
    }
  const byRule = emptyTally().gaveUp.map((_, i) => betaOf(ruleOf(rules, 'giving-up', String(i + 1))));
  const everybody = [...seen.values()].reduce<Stops>(withTally, byRule);
  const usual = everybody.map((stop, i) => weighing(byRule[i].gaveUp + byRule[i].wentOn, stop));
  return {
    everybody,
    byTechnician: Object.fromEntries([...seen].map(([key, own]) => [key, withTally(usual, own)])),
  };
}

/** What is known of somebody: everybody's where nothing is. */
export function stopsOf({ everybody, byTechnician }: GivingUp, technician: string | undefined): Stops {
  return ofTechnician(byTechnician, technician) ?? everybody;
}

/** The mean chance of giving up after pass k. Exact for one section; the little that a job's sections share through its uncertainty is left out. */
export function chanceOfGivingUp(stops: Stops, k: number): number {
  const count = stops[Math.min(k, lastCounted) - 1];
  if (count === undefined) throw new RangeError(`chanceOfGivingUp: k = ${k}, but passes count from 1`);
  return count.gaveUp / (count.gaveUp + count.wentOn);
}

interface Tally {
  readonly gaveUp: number[];
  readonly wentOn: number[];
}

function emptyTally(): Tally {
  return { gaveUp: new Array<number>(lastCounted).fill(0), wentOn: new Array<number>(lastCounted).fill(0) };
}

function add(counts: number[], k: number): void {
  counts[Math.min(k, lastCounted) - 1] += 1;
}

function withTally(stops: Stops, { gaveUp, wentOn }: Tally): Stops {
  return stops.map((stop, i) => ({ gaveUp: stop.gaveUp + gaveUp[i], wentOn: stop.wentOn + wentOn[i] }));
}

/** The same mean chance, as sure as after so many records. */
function weighing(records: number, { gaveUp, wentOn }: BetaCount): BetaCount {
  const scale = records / (gaveUp + wentOn);
  return { gaveUp: scale * gaveUp, wentOn: scale * wentOn };
}

/** The Beta with a rule's mean and standard deviation. */
function betaOf(rule: RuleOfThumb): BetaCount {
  const weight = pseudoRecords(rule);
  return { gaveUp: weight * rule.mean, wentOn: weight * (1 - rule.mean) };
}
