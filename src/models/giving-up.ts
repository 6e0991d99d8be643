import type { FinishedJob } from '../domain/record.ts';
import { ruleOf } from './rule-table.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';

/** A Beta distribution of the chance that the passes stop here although the section is not clean. */
export interface BetaCount {
  readonly gaveUp: number;
  readonly wentOn: number;
}

/** After pass k = 1, 2 … 7; the last entry stands for 7 and beyond. */
export type GivingUp = readonly BetaCount[];

const lastCounted = 7;

/** Counts of giving up after each pass, on top of the rules' pseudo-records. */
export function givingUpCounts(records: readonly FinishedJob[], rules: readonly RuleOfThumb[]): GivingUp {
  const gaveUp = new Array<number>(lastCounted).fill(0);
  const wentOn = new Array<number>(lastCounted).fill(0);
  for (const { sections } of records)
    for (const { wetPasses, result } of sections) {
      for (let k = 1; k < wetPasses; k++) add(wentOn, k);
      if (result !== 'clean' && wetPasses > 0) add(gaveUp, wetPasses);
    }
  return gaveUp.map((count, i) => {
    const prior = betaOf(ruleOf(rules, 'giving-up', String(i + 1)));
    return { gaveUp: prior.gaveUp + count, wentOn: prior.wentOn + (wentOn[i] ?? 0) };
  });
}

/** The mean chance of giving up after pass k. Exact for one section; the little that a job's sections share through its uncertainty is left out. */
export function chanceOfGivingUp(givingUp: GivingUp, k: number): number {
  const count = givingUp[Math.min(k, lastCounted) - 1];
  if (count === undefined) throw new RangeError(`chanceOfGivingUp: k = ${k}, but passes count from 1`);
  return count.gaveUp / (count.gaveUp + count.wentOn);
}

function add(counts: number[], k: number): void {
  const at = Math.min(k, lastCounted) - 1;
  counts[at] = (counts[at] ?? 0) + 1;
}

/** The Beta with a rule's mean and standard deviation. */
function betaOf(rule: RuleOfThumb): BetaCount {
  const weight = (rule.mean * (1 - rule.mean)) / rule.sd ** 2 - 1;
  return { gaveUp: weight * rule.mean, wentOn: weight * (1 - rule.mean) };
}
