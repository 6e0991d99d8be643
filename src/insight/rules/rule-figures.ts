import { betaQuantile } from '../../inference/beta.ts';
import { normalQuantile } from '../../inference/normal.ts';
import { changeOf, stepOf as monthOfStep } from '../../models/layout.ts';
import { pseudoRecords } from '../../models/rule-table.ts';
import type { RuleOfThumb } from '../../models/rules-of-thumb.ts';
import type { Range } from '../range.ts';
import type { FitReading } from './fit-reading.ts';

export type { RuleModel, RuleOfThumb } from '../../models/rules-of-thumb.ts';

/**
 * What the figure of a rule is: a factor on the ordinary case; passes, or litres a square metre, of the ordinary case itself; how far apart
 * two of a kind are, as a factor; a chance, 0 to 1.
 */
export type RuleMeasure = 'factor' | 'passes' | 'L/m²' | 'apart' | 'chance';

/** A term that is a logarithm is shown at this step of it: twice as many; for hours three passes instead of two, the term being log(1 + passes). */
const steps: Readonly<Record<string, number>> = {
  lwet: Math.log(2),
  lwater: Math.log(2),
  lair: Math.log(2),
  lnsec: Math.log(2),
  lpass: Math.log(4 / 3),
};

export function measureOfRule({ model, kind, term }: RuleOfThumb): RuleMeasure {
  if (kind === 'chance') return 'chance';
  if (kind !== 'coefficient') return 'apart';
  if (term !== 'int') return 'factor';
  return model === 'passes' ? 'passes' : model === 'water' ? 'L/m²' : 'factor';
}

/** How far the term of a coefficient goes for the figure shown; 1 for yes against no. */
export function stepOf({ term }: Pick<RuleOfThumb, 'term'>): number {
  return steps[term] ?? 1;
}

const z95 = normalQuantile(0.95);

/** The 90 % range of a rule of thumb as it is believed before any record, in the figure's own measure. */
export function believed(rule: RuleOfThumb): Range {
  const { kind, mean, sd } = rule;
  if (kind === 'coefficient') return rangeBy((z) => Math.exp(stepOf(rule) * (mean + z * sd)));
  // Half-normal: its quantiles are those of a normal's upper half.
  if (kind === 'spread') return threeOf((p) => Math.exp(sd * normalQuantile((1 + p) / 2)));
  if (kind === 'log-sigma') return rangeBy((z) => Math.exp(Math.exp(mean + z * sd)));
  const weight = pseudoRecords(rule);
  return chanceRange(weight * mean, weight * (1 - mean));
}

/** What the records have made of it; undefined where the fit does not tell. */
export function learnt(rule: RuleOfThumb, fit: FitReading): Range | undefined {
  const { model, kind, term } = rule;
  if (kind === 'chance') return chanceLearnt(rule, fit);
  if (model === 'giving-up') return undefined;
  const found = fit.models[model];
  if (kind === 'coefficient') return through(termOf(found.terms, term), (x) => Math.exp(stepOf(rule) * x));
  if (kind === 'log-sigma') return through(found.sigma, Math.exp);
  const spread = term === 'machine' ? found.spreadOfMachines : found.spreadOfTechnicians;
  return through(spread ?? undefined, Math.exp);
}

/** How much of what is now believed of a coefficient is the shop's own: what the records took off its variance. */
export function ownShare({ model, kind, term }: RuleOfThumb, fit: FitReading): number | undefined {
  if (model === 'giving-up' || kind !== 'coefficient') return undefined;
  const found = termOf(fit.models[model].terms, term);
  return found && Math.max(0, 1 - (found.sd / found.rule.sd) ** 2);
}

/** The rules on levels before a change, and a half-year before, carry a term for each: they are shown by the latest. */
function termOf<T extends { readonly term: string }>(terms: readonly T[], term: string): T | undefined {
  return terms.findLast(
    (one) =>
      one.term === term ||
      (term === 'before' && changeOf(one.term) !== undefined) ||
      (term === 'crept' && monthOfStep(one.term) !== undefined),
  );
}

function chanceLearnt({ model, term }: RuleOfThumb, { givingUp, secondPasses }: FitReading): Range | undefined {
  const gaveUp = model === 'giving-up' ? givingUp?.[Number(term) - 1] : undefined;
  if (gaveUp) return chanceRange(gaveUp.gaveUp, gaveUp.wentOn);
  const people = model === 'passes' ? secondPasses?.people : undefined;
  return people && chanceRange(people.have, people.haveNot);
}

/** A chance is shown by its mean, the one that estimates use, within its range. */
function chanceRange(a: number, b: number): Range {
  const at = (p: number) => betaQuantile(p, a, b);
  return { p05: at(0.05), p50: a / (a + b), p95: at(0.95) };
}

function through(range: Range | undefined, figure: (x: number) => number): Range | undefined {
  return range && { p05: figure(range.p05), p50: figure(range.p50), p95: figure(range.p95) };
}

function rangeBy(at: (z: number) => number): Range {
  return { p05: at(-z95), p50: at(0), p95: at(z95) };
}

function threeOf(quantile: (p: number) => number): Range {
  return { p05: quantile(0.05), p50: quantile(0.5), p95: quantile(0.95) };
}
