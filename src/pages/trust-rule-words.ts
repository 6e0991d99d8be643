/** How the figures of rules of thumb are written. */
import type { Range } from '../insight/range.ts';
import type { RuleMeasure, RuleModel } from '../insight/rules/rule-figures.ts';
import type { Formats } from './format.ts';
import { figureNames } from './trust-words.ts';

export const ruleModelNames: Readonly<Record<RuleModel, string>> = {
  ...figureNames,
  'giving-up': 'Stopping before it is clean',
};

/** What a model's efforts have to do with the passes that estimates tell. */
export const effortWords =
  'Effort counts in parts of a pass, work in whole ones: what comes clean in two passes had an effort between 1 and 2. So 1.4 passes of effort take two passes, and the passes that estimates tell lie about half a pass above the effort.';

/** A figure with its 90 % range: "× 1.52 (1.13 to 2.04)". */
export function ruleText({ p05, p50, p95 }: Range, measure: RuleMeasure, formats: Formats): string {
  return `${ruleFigure(p50, measure, formats)} (${bare(p05, measure, formats)} to ${bare(p95, measure, formats)})`;
}

export function ruleFigure(value: number, measure: RuleMeasure, formats: Formats): string {
  if (measure === 'passes') return `${bare(value, measure, formats)} passes of effort`;
  if (measure === 'L/m²') return formats.quantity('litresPerM2', value);
  return measure === 'chance' ? bare(value, measure, formats) : `× ${bare(value, measure, formats)}`;
}

/** A factor in words: "52 % more", "a quarter" being "25 % less". */
export function factorWords(factor: number, formats: Formats): string {
  const off = factor - 1;
  if (Math.abs(off) < 0.005) return 'the same';
  return off > 0 ? `${formats.share(off)} more` : `${formats.share(-off)} less`;
}

function bare(value: number, measure: RuleMeasure, formats: Formats): string {
  if (measure === 'chance') return formats.share(value);
  if (measure === 'L/m²') return formats.quantity('litresPerM2', value);
  return formats.number(value, 2);
}
