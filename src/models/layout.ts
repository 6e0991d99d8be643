import type { GroupBlock, RegressionProblem } from '../inference/types.ts';
import { ruleOf } from './rule-table.ts';
import type { RuleModel, RuleOfThumb } from './rules-of-thumb.ts';

/** Which column of a model's design is which: fixed terms, then people, then extractors. */
export interface Layout {
  readonly terms: readonly string[];
  /** Keys in column order; one more column stands behind them for someone new, carried by the prior alone. */
  readonly technicians: readonly string[];
  /** The same for extractors; a model that does not tell them apart has no such columns. */
  readonly machines?: readonly string[] | undefined;
}

/** One row of a design, or one linear predictor, before it is sorted: columns may repeat and are summed. */
export type Entries = (readonly [column: number, value: number])[];

export function columnCount(layout: Layout): number {
  const machines = layout.machines === undefined ? 0 : layout.machines.length + 1;
  return layout.terms.length + layout.technicians.length + 1 + machines;
}

export function termColumn(layout: Layout, term: string): number {
  const column = layout.terms.indexOf(term);
  if (column < 0) throw new Error(`the model has no term ${term}`);
  return column;
}

/** The column of a technician; someone new where the key is absent or not known to the fit. */
export function technicianColumn(layout: Layout, key: string | undefined): number {
  return layout.terms.length + placeOf(layout.technicians, key);
}

/** The same for an extractor; undefined where the model has no extractors. */
export function machineColumn(layout: Layout, key: string | undefined): number | undefined {
  if (layout.machines === undefined) return undefined;
  return layout.terms.length + layout.technicians.length + 1 + placeOf(layout.machines, key);
}

/** The priors of a model from the table of rules, in column order. */
export function priorsOf(
  model: RuleModel,
  layout: Layout,
  rules: readonly RuleOfThumb[],
): Pick<RegressionProblem, 'fixed' | 'groups' | 'sigma'> {
  const fixed = layout.terms.map((term) => ruleOf(rules, model, term));
  const sigma = ruleOf(rules, model, 'sigma');
  return {
    fixed: {
      names: layout.terms,
      mean: Float64Array.from(fixed, (rule) => rule.mean),
      sd: Float64Array.from(fixed, (rule) => rule.sd),
    },
    groups: groupsOf(layout, (group) => ruleOf(rules, model, `tau.${group}`).sd),
    sigma: { logMean: sigma.mean, logSd: sigma.sd },
  };
}

/** The priors of a model whose columns stand behind `count` standard scores, N(0, 1) each. */
export function behindScores(
  { fixed, groups, sigma }: ReturnType<typeof priorsOf>,
  count: number,
): ReturnType<typeof priorsOf> {
  return {
    fixed: {
      names: [...Array.from({ length: count }, (_, k) => `score ${k + 1}`), ...fixed.names],
      mean: Float64Array.from([...new Float64Array(count), ...fixed.mean]),
      sd: Float64Array.from([...new Float64Array(count).fill(1), ...fixed.sd]),
    },
    groups: groups.map((group) => ({ ...group, first: count + group.first })),
    sigma,
  };
}

function groupsOf(layout: Layout, tauScale: (group: string) => number): readonly GroupBlock[] {
  const first = layout.terms.length;
  const people = layout.technicians.length + 1;
  const technicians = { name: 'technician', first, count: people, tauScale: tauScale('technician') };
  if (layout.machines === undefined) return [technicians];
  const count = layout.machines.length + 1;
  return [technicians, { name: 'machine', first: first + people, count, tauScale: tauScale('machine') }];
}

function placeOf(keys: readonly string[], key: string | undefined): number {
  const place = key === undefined ? -1 : keys.indexOf(key);
  return place < 0 ? keys.length : place;
}
