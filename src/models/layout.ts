import type { ModelName } from '../domain/doubts.ts';
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
  /** Months (YYYY-MM) at which the level may have crept. Each has a term, behind those of the model: 1 before the month, 0 since. */
  readonly steps?: readonly string[] | undefined;
  /** The same of months with which it is known to have changed; their terms are the last ones of `terms`. */
  readonly changes?: readonly string[] | undefined;
}

/** By model, the months with which its level is known to have changed. */
export type LevelChanges = Readonly<Partial<Record<ModelName, readonly string[]>>>;

/** One row of a design, or one linear predictor, before it is sorted: columns may repeat and are summed. */
export type Entries = (readonly [column: number, value: number])[];

/**
 * With a term for each of these months: the level is a random walk that ends now. A shop that gets slower little by little has no month with
 * which it changed, and without this its forecasts would lag a year behind.
 */
export function withSteps(layout: Layout, steps: readonly string[]): Layout {
  if (steps.length === 0) return layout;
  return { ...layout, terms: [...layout.terms, ...steps.map(stepTerm)], steps };
}

/** Steps further back than these make no difference worth a column. */
const mostSteps = 4;
const monthsAStep = 6;

/**
 * The months at which the level may have crept: every half-year back from the latest of these instants, so that the level of now always rests
 * on the records of six months, as far as there are any from before.
 */
export function stepsBack(instants: readonly string[]): readonly string[] {
  if (instants.length === 0) return [];
  const months = instants.map(monthNumber);
  const [first, last] = [months.reduce((a, b) => Math.min(a, b)), months.reduce((a, b) => Math.max(a, b))];
  return Array.from({ length: mostSteps }, (_, k) => last + 1 - (mostSteps - k) * monthsAStep)
    .filter((month) => month > first)
    .map((month) => new Date(Date.UTC(0, month)).toISOString().slice(0, 7));
}

/** Months since the year 1900. */
function monthNumber(instant: string): number {
  const at = new Date(instant);
  return 12 * (at.getUTCFullYear() - 1900) + at.getUTCMonth();
}

function stepTerm(month: string): string {
  return `crept ${month}`;
}

/** With a term for the level before each of these months. To all that comes the terms are 0: no forecast needs to know of them. */
export function withChanges(layout: Layout, changes: readonly string[] = []): Layout {
  if (changes.length === 0) return layout;
  return { ...layout, terms: [...layout.terms, ...changes.map(beforeTerm)], changes };
}

export function beforeTerm(month: string): string {
  return `before ${month}`;
}

/** The month of a term that is one of the half-years' steps; undefined of any other. */
export function stepOf(term: string): string | undefined {
  return /^crept (\d{4}-\d{2})$/.exec(term)?.[1];
}

/** The month of such a term; undefined of any other. */
export function changeOf(term: string): string | undefined {
  return /^before (\d{4}-\d{2})$/.exec(term)?.[1];
}

/** What work of a time carries of the levels before the changes. */
export function beforeEntries({ terms, steps = [], changes = [] }: Layout, at: string | Date): Entries {
  const months = [...steps, ...changes];
  if (months.length === 0) return [];
  const instant = new Date(at).getTime();
  const first = terms.length - months.length;
  return months.flatMap((month, k) => (instant < Date.parse(`${month}-01T00:00:00Z`) ? [[first + k, 1] as const] : []));
}

/** The same times a weight. */
export function weighted(entries: Entries, weight: number): Entries {
  return entries.map(([column, value]) => [column, value * weight] as const);
}

/** The linear predictor at these coefficients. */
export function predictorAt(coefficients: ArrayLike<number>, entries: Entries): number {
  let sum = 0;
  for (const [column, value] of entries) sum += value * coefficients[column];
  return sum;
}

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
  const firstChange = layout.terms.length - (layout.changes?.length ?? 0);
  const firstStep = firstChange - (layout.steps?.length ?? 0);
  const ruleTerm = (term: string, i: number) => (i >= firstChange ? 'before' : i >= firstStep ? 'crept' : term);
  const fixed = layout.terms.map((term, i) => ruleOf(rules, model, ruleTerm(term, i)));
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

/**
 * The priors of a fit that reckons with changes: the level of now is that of the rules of thumb and as many steps on from there, so its prior
 * is as much wider. Else a sure rule would press the step into the effects of people and machines.
 */
export function withRoomToChange(priors: ReturnType<typeof priorsOf>, layout: Layout): ReturnType<typeof priorsOf> {
  const { terms, steps = [], changes = [] } = layout;
  if (steps.length + changes.length === 0) return priors;
  const { fixed } = priors;
  const level = termColumn(layout, 'int');
  const moved = fixed.sd.subarray(terms.length - steps.length - changes.length).reduce((sum, sd) => sum + sd ** 2, 0);
  const sd = fixed.sd.map((own, column) => (column === level ? Math.sqrt(own ** 2 + moved) : own));
  return { ...priors, fixed: { ...fixed, sd } };
}

/** Terms that stand before a model's own, known together from elsewhere. */
export interface KnownTerms {
  readonly names: readonly string[];
  readonly mean: Float64Array;
  /** Packed. */
  readonly precision: Float64Array;
}

/** The priors of a model behind such terms. */
export function behindKnown(
  { fixed, groups, sigma }: ReturnType<typeof priorsOf>,
  { names, mean, precision }: KnownTerms,
): ReturnType<typeof priorsOf> {
  const count = names.length;
  return {
    fixed: {
      names: [...names, ...fixed.names],
      mean: Float64Array.from([...mean, ...fixed.mean]),
      sd: Float64Array.from([...new Float64Array(count).fill(Number.POSITIVE_INFINITY), ...fixed.sd]),
      precision,
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
