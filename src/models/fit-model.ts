import type { ModelName } from '../domain/doubts.ts';
import { type FitOptions, fitRegression } from '../inference/fit.ts';
import { independentRows, runsOf } from '../inference/shared-error.ts';
import type { ErrorDistribution, FitFailure } from '../inference/types.ts';
import { farOffRecords, oddRecords, suspectRecords } from './far-off.ts';
import { behindKnown, columnCount, type KnownTerms, type Layout, priorsOf, withRoomToChange } from './layout.ts';
import { evenlySpread, type LeftOut, type ModelRows, sparse } from './rows/model-rows.ts';
import type { FittedModel, ShopFit } from './shop-fit.ts';
import type { ShopView } from './shop-view.ts';

/** How a model is fitted. */
export interface HowFitted {
  /** Refs of records that somebody looked at and confirmed: they are read however odd they are. */
  readonly confirmed?: readonly string[] | undefined;
  /** Where the search begins; a good one saves time and changes nothing beyond the search's own tolerance. */
  readonly warmStart?: ShopFit | undefined;
  /** False: without the doubt about the spreads, for forecasts to be scored where many records leave hardly any. */
  readonly integrate?: boolean | undefined;
}

export interface FittedRows {
  readonly model: FittedModel;
  readonly rows: ModelRows;
}

/** One model's share of a fit: its records, its columns, how it reads, and what is left out for all. */
export interface ModelInput {
  readonly name: ModelName;
  readonly shop: ShopView;
  readonly layout: Layout;
  readonly read: (shop: ShopView, layout: Layout) => ModelRows;
  readonly error: ErrorDistribution;
  /** Terms before those of the layout. */
  readonly known?: KnownTerms;
  readonly doubtful?: readonly LeftOut[];
}

/** One model without the records that are absurd to it, and not confirmed; of those that it read it says which look odd. */
export function fitModel(
  model: ModelInput,
  { warmStart, confirmed = [], integrate }: HowFitted,
): FittedRows | FitFailure {
  const { name, shop, layout, read, doubtful = [] } = model;
  const { rules } = shop;
  const fitRows = (rows: ModelRows, start: FittedModel | undefined) =>
    fittedRows(model, rows, { ...startFrom(start, model), integrate });
  const all = read(shop, layout);
  const first = fitRows(all, warmStart?.models[name]);
  if (isFailure(first)) return first;
  const suspects = suspectRecords({ name, model: first, rules, confirmed }, all);
  const finished = ({ model, rows }: FittedRows, far: readonly LeftOut[]): FittedRows => {
    const odd = oddRecords({ name, model, rules, confirmed }, rows);
    return { model: { ...model, leftOut: [...model.leftOut, ...far, ...doubtful], odd }, rows };
  };
  if (suspects.size === 0) return finished({ model: first, rows: all }, []);
  const fitWithout = (refs: ReadonlySet<string>, start: FittedModel) => {
    const rows = read(without(shop, refs), layout);
    const model = fitRows(rows, start);
    return isFailure(model) ? model : { model, rows };
  };
  const others = fitWithout(suspects, first);
  if (isFailure(others)) return others;
  const far = farOffRecords({ name, model: others.model, rules, confirmed }, all, suspects);
  const areSuspects = far.length === suspects.size && far.every(({ ref }) => suspects.has(ref));
  const again = areSuspects ? others : fitWithout(refsOf(far), others.model);
  return isFailure(again) ? again : finished(again, far);
}

/** The model of the fit before where it had learnt anything, else the rules of thumb alone; neither was fitted to any row of now. */
export function standIn(model: ModelInput, { message }: FitFailure, before: ShopFit | undefined): FittedRows {
  const rows = model.read({ ...model.shop, jobs: [] }, model.layout);
  const former = before?.models[model.name];
  if (former !== undefined && former.used > 0)
    return { model: { ...former, standIn: { from: 'the fit before', reason: message } }, rows };
  const byRules = fittedRows(model, rows, {});
  if (isFailure(byRules)) throw new Error(`the rules of thumb alone could not be used: ${byRules.message}`);
  return { model: { ...byRules, standIn: { from: 'rules of thumb', reason: message } }, rows };
}

export function farOffOf({ leftOut }: FittedModel): readonly LeftOut[] {
  return leftOut.filter(({ farOff }) => farOff !== undefined);
}

export function refsOf(records: readonly LeftOut[]): ReadonlySet<string> {
  return new Set(records.map(({ ref }) => ref));
}

export function without(shop: ShopView, refs: ReadonlySet<string>): ShopView {
  return refs.size === 0 ? shop : { ...shop, jobs: shop.jobs.filter(({ job }) => !refs.has(job.ref)) };
}

export function fittedRows(
  { name, shop, layout, error, known }: Omit<ModelInput, 'doubtful'>,
  read: ModelRows,
  options: FitOptions,
): FittedModel | FitFailure {
  const { used, leftOut, readingSd } = read;
  const { rows: spread, observations } = read.shareErrors
    ? independentRows(read.rows, read.observations, runsOf(read.refs))
    : evenlySpread(read);
  const own = withRoomToChange(priorsOf(name, layout, shop.rules), layout);
  // Without a row nothing ties the model to what is known from elsewhere.
  const isTied = known !== undefined && used > 0;
  const { fixed, groups, sigma } = isTied ? behindKnown(own, known) : own;
  const rows = used === 0 ? sparse([], columnCount(layout)) : spread;
  const problem = { name, rows, observations, error, fixed, groups, sigma: { ...sigma, readingSd } };
  const result = fitRegression(problem, options);
  return result.status === 'failed' ? result : { layout, posterior: result.posterior, used, leftOut, odd: [] };
}

/** The former maximum is a place to begin only where its columns mean the same, and where there were records to have one. */
export function startFrom(former: FittedModel | undefined, { layout, known }: ModelInput) {
  if (former === undefined || former.used === 0 || JSON.stringify(former.layout) !== JSON.stringify(layout)) return {};
  const [start] = former.posterior.points;
  if (start.mode.length !== columnCount(layout) || known === undefined) return { start };
  return { start: { ...start, mode: Float64Array.from([...known.mean, ...start.mode]) } };
}

export function isFailure(result: FittedModel | FittedRows | FitFailure): result is FitFailure {
  return 'status' in result;
}
