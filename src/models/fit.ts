import type { ModelName } from '../domain/doubts.ts';
import type { Machine, Technician } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import { fitRegression } from '../inference/fit.ts';
import type { ErrorDistribution, FitFailure, RegressionProblem } from '../inference/types.ts';
import { comebackCounts } from './comebacks.ts';
import { givingUpCounts } from './giving-up.ts';
import { machineShares, technicianShares } from './habits.ts';
import { columnCount, type Layout, priorsOf } from './layout.ts';
import { dryingLayout, dryingRows } from './rows/drying-rows.ts';
import { labourLayout, labourRows } from './rows/labour-rows.ts';
import type { ModelRows } from './rows/model-rows.ts';
import { passesLayout, passesRows } from './rows/passes-rows.ts';
import { waterLayout, waterRows } from './rows/water-rows.ts';
import { type RuleOverrides, ruleTable } from './rule-table.ts';
import type { FittedModel, ShopFit, ShopFitResult } from './shop-fit.ts';
import { type ShopView, shopView } from './shop-view.ts';
import { waterForecast } from './water-forecast.ts';

/** What a fit is made from: finished jobs in any order, the shop's lists, its adjusted rules, and the fit before. */
export interface FitInput {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules?: RuleOverrides | undefined;
  readonly now: Date;
  /** Where the search begins; a good one saves time and changes nothing beyond the search's own tolerance. */
  readonly warmStart?: ShopFit | undefined;
}

/** Wild jobs are part of the trade: a lost hour, a forgotten clock. */
const labourError: ErrorDistribution = { kind: 'student-t', degreesOfFreedom: 4 };
const normalError: ErrorDistribution = { kind: 'normal' };

/**
 * Fits the four models to a shop's records; with none it is the rules of thumb themselves.
 * Drying is fitted last: where litres were not read it takes the water model's forecast of them.
 * Returns the fit, or every model's failure by name: the caller keeps the fit it had.
 * Throws RangeError where an adjusted rule cannot be used.
 */
export function fitShop(input: FitInput): ShopFitResult {
  const rules = ruleTable(input.rules);
  const shop = shopView(input.records, input.technicians, input.machines, rules);
  const passes = fitModel('passes', shop, passesLayout(shop), passesRows, normalError, input.warmStart);
  const labour = fitModel('labour', shop, labourLayout(shop), labourRows, labourError, input.warmStart);
  const water = fitModel('water', shop, waterLayout(shop), waterRows, normalError, input.warmStart);
  if (isFailure(water)) return failed([passes, labour, water]);
  const litres = waterForecast(water);
  const readDrying = (view: ShopView, layout: Layout) => dryingRows(view, layout, litres);
  const drying = fitModel('drying', shop, dryingLayout(shop), readDrying, normalError, input.warmStart);
  if (isFailure(passes) || isFailure(labour) || isFailure(drying)) return failed([passes, labour, drying]);
  return { status: 'fitted', fit: shopFit(input, shop, { passes, labour, water, drying }) };
}

function fitModel(
  name: ModelName,
  shop: ShopView,
  layout: Layout,
  read: (shop: ShopView, layout: Layout) => ModelRows,
  error: ErrorDistribution,
  warmStart: ShopFit | undefined,
): FittedModel | FitFailure {
  const { rows, observations, used, leftOut } = read(shop, layout);
  const problem: RegressionProblem = { name, rows, observations, error, ...priorsOf(name, layout, shop.rules) };
  const result = fitRegression(problem, startFrom(warmStart?.models[name], layout));
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
    givingUp: givingUpCounts(input.records, shop.rules),
    comebacks: comebackCounts(input.records),
    surfaceRatios: shop.surfaceRatios,
    dryHabits: shop.dryHabits,
    readingStepL: shop.readingStepL,
    technicianShares: technicianShares(input.records, input.now),
    machineShares: machineShares(input.records, input.now),
  };
}

function isFailure(result: FittedModel | FitFailure): result is FitFailure {
  return 'status' in result;
}

function failed(results: readonly (FittedModel | FitFailure)[]): ShopFitResult {
  return { status: 'failed', failures: results.filter(isFailure) };
}
