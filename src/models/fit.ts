import type { ModelName } from '../domain/doubts.ts';
import type { Machine, Technician } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import { type FitOptions, fitRegression } from '../inference/fit.ts';
import type { ErrorDistribution, FitFailure, RegressionProblem } from '../inference/types.ts';
import { comebackCounts } from './comebacks.ts';
import { farOffRecords } from './far-off.ts';
import { givingUpCounts } from './giving-up.ts';
import { machineShares, technicianShares } from './habits.ts';
import { columnCount, type Layout, priorsOf } from './layout.ts';
import { dryingLayout, dryingRows } from './rows/drying-rows.ts';
import { labourLayout, labourRows } from './rows/labour-rows.ts';
import type { LeftOut, ModelRows } from './rows/model-rows.ts';
import { passesLayout, passesRows } from './rows/passes-rows.ts';
import { waterLayout, waterRows } from './rows/water-rows.ts';
import { type RuleOverrides, ruleTable } from './rule-table.ts';
import type { FittedModel, ShopFit } from './shop-fit.ts';
import { type ShopView, shopView } from './shop-view.ts';
import { waterForecast } from './water-forecast.ts';

/** What a fit is made from: finished jobs in any order, the shop's lists, its adjusted rules, and the fit before. */
export interface FitInput {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules?: RuleOverrides | undefined;
  readonly now: Date;
  /** Refs of records that somebody looked at and confirmed: they are read however odd they are. */
  readonly confirmed?: readonly string[] | undefined;
  /** Where the search begins; a good one saves time and changes nothing beyond the search's own tolerance. */
  readonly warmStart?: ShopFit | undefined;
  /** False: without the doubt about the spreads, for forecasts to be scored where many records leave hardly any. */
  readonly integrate?: boolean | undefined;
}

/** A fit, and the rows that its models were fitted to: what else would learn from the same need not read the records again. */
export interface FittedShop {
  readonly fit: ShopFit;
  readonly rows: Readonly<Record<ModelName, ModelRows>>;
}

export type ShopFitResult =
  | ({ readonly status: 'fitted' } & FittedShop)
  | { readonly status: 'failed'; readonly failures: readonly FitFailure[] };

/** Wild jobs are part of the trade: a lost hour, a forgotten clock. */
const labourError: ErrorDistribution = { kind: 'student-t', degreesOfFreedom: 4 };
const normalError: ErrorDistribution = { kind: 'normal' };

/**
 * Fits the four models to a shop's records; with none it is the rules of thumb themselves. A record that is absurd to a model, and not
 * confirmed, is left out of that model; where its passes are, of all that read them.
 * Drying is fitted last: where litres were not read it takes the water model's forecast of them.
 * Returns the fit, or every model's failure by name: the caller keeps the fit it had.
 * Throws RangeError where an adjusted rule cannot be used.
 */
export function fitShop(input: FitInput): ShopFitResult {
  const rules = ruleTable(input.rules);
  const shop = shopView(input.records, input.technicians, input.machines, rules);
  const passes = fitModel('passes', shop, passesLayout(shop), passesRows, normalError, input);
  // Every other model reads the passes too: where they are absurd, none of them can.
  const doubtful = isFailure(passes) ? [] : farOffOf(passes.model);
  const view = without(shop, doubtful);
  const labour = fitModel('labour', view, labourLayout(shop), labourRows, labourError, input, doubtful);
  const water = fitModel('water', view, waterLayout(shop), waterRows, normalError, input, doubtful);
  if (isFailure(water)) return failed([passes, labour, water]);
  const litres = waterForecast(water.model);
  const readDrying = (of: ShopView, layout: Layout) => dryingRows(of, layout, litres);
  const drying = fitModel('drying', view, dryingLayout(shop), readDrying, normalError, input, doubtful);
  if (isFailure(passes) || isFailure(labour) || isFailure(drying)) return failed([passes, labour, drying]);
  const models = { passes: passes.model, labour: labour.model, water: water.model, drying: drying.model };
  const rows = { passes: passes.rows, labour: labour.rows, water: water.rows, drying: drying.rows };
  return { status: 'fitted', fit: shopFit(input, view, models), rows };
}

interface FittedRows {
  readonly model: FittedModel;
  readonly rows: ModelRows;
}

function fitModel(
  name: ModelName,
  shop: ShopView,
  layout: Layout,
  read: ReadRows,
  error: ErrorDistribution,
  { warmStart, confirmed, integrate }: FitInput,
  leftOut: readonly LeftOut[] = [],
): FittedRows | FitFailure {
  const fitRows = (rows: ModelRows, start: FittedModel | undefined) =>
    fittedRows(name, shop, layout, rows, error, { ...startFrom(start, layout), integrate });
  const all = read(shop, layout);
  const first = fitRows(all, warmStart?.models[name]);
  if (isFailure(first)) return first;
  const far = farOffRecords(name, first, all, shop.rules).filter(({ ref }) => !confirmed?.includes(ref));
  const rows = far.length === 0 ? all : read(without(shop, far), layout);
  const again = far.length === 0 ? first : fitRows(rows, first);
  if (isFailure(again)) return again;
  return { model: { ...again, leftOut: [...again.leftOut, ...far, ...leftOut] }, rows };
}

function farOffOf({ leftOut }: FittedModel): readonly LeftOut[] {
  return leftOut.filter(({ farOff }) => farOff !== undefined);
}

function without(shop: ShopView, records: readonly LeftOut[]): ShopView {
  const refs = new Set(records.map(({ ref }) => ref));
  return records.length === 0 ? shop : { ...shop, jobs: shop.jobs.filter(({ job }) => !refs.has(job.ref)) };
}

type ReadRows = (shop: ShopView, layout: Layout) => ModelRows;

function fittedRows(
  name: ModelName,
  shop: ShopView,
  layout: Layout,
  { rows, observations, used, leftOut }: ModelRows,
  error: ErrorDistribution,
  options: FitOptions,
): FittedModel | FitFailure {
  const problem: RegressionProblem = { name, rows, observations, error, ...priorsOf(name, layout, shop.rules) };
  const result = fitRegression(problem, options);
  return result.status === 'failed' ? result : { layout, posterior: result.posterior, used, leftOut };
}

/** The former maximum is a place to begin only where its columns mean the same, and where there were records to have one. */
function startFrom(former: FittedModel | undefined, layout: Layout) {
  const isSame = former !== undefined && former.used > 0 && JSON.stringify(former.layout) === JSON.stringify(layout);
  return isSame && former.posterior.nColumns === columnCount(layout) ? { start: former.posterior.points[0] } : {};
}

function shopFit(input: FitInput, shop: ShopView, models: ShopFit['models']): ShopFit {
  return {
    fittedAt: input.now.toISOString(),
    nJobs: input.records.length,
    rules: shop.rules,
    models,
    givingUp: givingUpCounts(
      shop.jobs.map(({ job }) => job),
      shop.rules,
    ),
    comebacks: comebackCounts(input.records),
    surfaceRatios: shop.surfaceRatios,
    dryHabits: shop.dryHabits,
    readingStepL: shop.readingStepL,
    technicianShares: technicianShares(input.records, input.now),
    machineShares: machineShares(input.records, input.now),
  };
}

function isFailure(result: FittedModel | FittedRows | FitFailure): result is FitFailure {
  return 'status' in result;
}

function failed(results: readonly (FittedRows | FitFailure)[]): ShopFitResult {
  return { status: 'failed', failures: results.filter(isFailure) };
}
