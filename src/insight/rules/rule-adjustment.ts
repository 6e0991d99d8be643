import { z } from 'zod';
import { normalQuantile } from '../../inference/normal.ts';
import { pseudoRecords } from '../../models/rule-table.ts';
import { rulesOfThumb } from '../../models/rules-of-thumb.ts';
import { type RuleOfThumb, stepOf } from './rule-figures.ts';

/**
 * A rule of thumb as a person says it, in the measure of its figure. `middle`: a factor, passes or litres a square metre; how far apart two of
 * a kind are, as a factor; of a chance, cases in a hundred. `within`: the factor that it holds to, up and down, nine times in ten; of a chance,
 * as many cases as one would have to have seen to be as sure; absent where only the size is believed.
 */
export interface RuleAsked {
  readonly middle: number;
  readonly within?: number | undefined;
}

/** The program's own rule of this id. */
export function programsRule(id: string): RuleOfThumb | undefined {
  return rulesOfThumb.find((rule) => rule.id === id);
}

/** What may be asked of a rule; the bounds keep out slips, not opinions. */
export function ruleForm({ kind }: RuleOfThumb) {
  const number = (low: number, high: number) =>
    z.number().gte(low).lte(high).describe(`a number from ${low} to ${high}`);
  switch (kind) {
    case 'coefficient':
      return z.strictObject({ middle: number(0.05, 20), within: number(1.01, 20) });
    case 'spread':
      return z.strictObject({ middle: number(1.005, 5) });
    case 'log-sigma':
      return z.strictObject({ middle: number(1.01, 5), within: number(1.01, 20) });
    case 'chance':
      return z.strictObject({ middle: number(0.1, 99), within: number(1, 1000) });
  }
}

/** A rule as it stands, said so. */
export function askedOf(rule: RuleOfThumb): RuleAsked {
  const { kind, mean, sd } = rule;
  switch (kind) {
    case 'coefficient':
      return { middle: Math.exp(stepOf(rule) * mean), within: Math.exp(stepOf(rule) * z95 * sd) };
    case 'spread':
      return { middle: Math.exp(halfNormalMedian * sd) };
    case 'log-sigma':
      return { middle: Math.exp(Math.exp(mean)), within: Math.exp(z95 * sd) };
    case 'chance':
      return { middle: 100 * mean, within: pseudoRecords(rule) };
  }
}

/** What is stored of it: the inverse of {@link askedOf}. */
export function adjustmentOf(rule: RuleOfThumb, { middle, within = 1 }: RuleAsked): { mean: number; sd: number } {
  switch (rule.kind) {
    case 'coefficient':
      return { mean: Math.log(middle) / stepOf(rule), sd: Math.log(within) / (stepOf(rule) * z95) };
    case 'spread':
      return { mean: rule.mean, sd: Math.log(middle) / halfNormalMedian };
    case 'log-sigma':
      return { mean: Math.log(Math.log(middle)), sd: Math.log(within) / z95 };
    case 'chance': {
      const mean = middle / 100;
      return { mean, sd: Math.sqrt((mean * (1 - mean)) / (within + 1)) };
    }
  }
}

/** Whether that is the rule as it stands, but for digits that a form does not show. */
export function isAsItStands(rule: RuleOfThumb, { middle, within = 0 }: RuleAsked): boolean {
  const now = askedOf(rule);
  const withinOff = Math.abs(within - (now.within ?? 0));
  return Math.abs(middle - now.middle) < 0.0006 && withinOff < (rule.kind === 'chance' ? 0.06 : 0.0006);
}

const z95 = normalQuantile(0.95);
/** The median of the size of a standard normal. */
const halfNormalMedian = normalQuantile(0.75);
