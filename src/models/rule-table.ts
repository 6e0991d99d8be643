import type { ShopSettings } from '../domain/shop-settings.ts';
import { type RuleModel, type RuleOfThumb, rulesOfThumb } from './rules-of-thumb.ts';

/** A shop's adjustments, by rule id. */
export type RuleOverrides = ShopSettings['rules'];

const adjusted = 'adjusted in the shop’s settings';

/**
 * The table of rules of thumb as one shop uses it.
 * Throws where an adjustment names no rule or gives a value that the rule cannot have, all faults in one error.
 */
export function ruleTable(overrides: RuleOverrides = {}): readonly RuleOfThumb[] {
  const faults = overrideFaults(overrides);
  if (faults.length > 0) throw new RangeError(faults.join('; '));
  return rulesOfThumb.map((rule) => {
    const own = overrides[rule.id];
    if (own === undefined) return rule;
    return { ...rule, mean: own.mean ?? rule.mean, sd: own.sd ?? rule.sd, provenance: adjusted };
  });
}

/** What is wrong with a shop's adjustments, one sentence each; none where they can be used. */
export function overrideFaults(overrides: RuleOverrides): readonly string[] {
  return Object.entries(overrides).flatMap(([id, own]) => {
    const rule = rulesOfThumb.find((candidate) => candidate.id === id);
    if (rule === undefined) return [`rules.${id}: no rule of thumb has this id`];
    const mean = own.mean ?? rule.mean;
    const sd = own.sd ?? rule.sd;
    if (!(Number.isFinite(mean) && Number.isFinite(sd) && sd > 0))
      return [`rules.${id}: mean must be finite and sd above 0`];
    if (rule.kind === 'chance' && !(mean > 0 && mean < 1 && sd * sd < mean * (1 - mean)))
      return [`rules.${id}: a chance lies between 0 and 1, and sd² below mean (1 − mean)`];
    return [];
  });
}

/** One rule by model and term. Throws on a term without a rule: a slip in the program, not in a record. */
export function ruleOf(rules: readonly RuleOfThumb[], model: RuleModel, id: string): RuleOfThumb {
  const rule = rules.find((candidate) => candidate.id === `${model}.${id}`);
  if (rule === undefined) throw new Error(`no rule of thumb ${model}.${id}`);
  return rule;
}

/** How many records a chance is believed as if after: those of the Beta with its mean and standard deviation. */
export function pseudoRecords({ mean, sd }: Pick<RuleOfThumb, 'mean' | 'sd'>): number {
  return (mean * (1 - mean)) / sd ** 2 - 1;
}
