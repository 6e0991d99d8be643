import type { ModelName } from '../domain/doubts.ts';
import type { Machine, Technician } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { ErrorDistribution, FitFailure } from '../inference/types.ts';
import { comebackCounts } from './comebacks.ts';
import {
  type FittedRows,
  farOffOf,
  fitModel,
  type HowFitted,
  isFailure,
  type ModelInput,
  refsOf,
  standIn,
  without,
} from './fit-model.ts';
import { givingUpCounts } from './giving-up.ts';
import { technicianShares } from './habits.ts';
import { looksLearnt, nightsLearnt, sectionSpreadLearnt, tanksLearnt } from './how-read.ts';
import {
  type Layout,
  type LevelChanges,
  priorsOf,
  stepsBack,
  termColumn,
  withChanges,
  withRoomToChange,
  withSteps,
} from './layout.ts';
import type { Nights } from './nights.ts';
import { type CheckedJobs, checkedJobs, dryingLayout, dryingRows, dryingRowsOnWater } from './rows/drying-rows.ts';
import { labourLayout, labourRows } from './rows/labour-rows.ts';
import type { ModelRows } from './rows/model-rows.ts';
import { passesLayout, passesRows } from './rows/passes-rows.ts';
import { waterLayout, waterRows } from './rows/water-rows.ts';
import { type RuleOverrides, ruleTable } from './rule-table.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';
import { readAlike, secondPassesLearnt } from './second-pass-learnt.ts';
import { type FittedModel, modelNames, type ShopFit } from './shop-fit.ts';
import { asTheyAre, type ShopView, shopView, withConfirmed } from './shop-view.ts';
import { type DryingGivenWater, type DryingLevel, knownWater, separated } from './water-and-drying.ts';
import { type WaterForecast, waterForecast } from './water-forecast.ts';

/** What a fit is made from: finished jobs in any order, the shop's lists, its adjusted rules, and the fit before. */
export interface FitInput extends HowFitted {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules?: RuleOverrides | undefined;
  readonly now: Date;
  /** IANA name of the shop's zone, by whose clock some drying falls into the night; UTC where absent. */
  readonly timeZone?: string | undefined;
  /** Months with which a model's level changed: what it learns of its work from older records is kept, their level is not. */
  readonly changes?: LevelChanges | undefined;
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
 * Drying is fitted last, on the water model's forecast of the litres, and what it tells of them goes back into the water model.
 * A model that cannot be fitted is taken over from the fit before, or from the rules of thumb, and says so: what keeps one figure from being
 * learnt is no reason to keep the shop from the other three.
 * Returns the fit, or every failure by name where no model could be fitted: the caller keeps the fit it had.
 * Throws RangeError where an adjusted rule cannot be used.
 */
export function fitShop(input: FitInput): ShopFitResult {
  const rules = ruleTable(input.rules);
  const as = asTheyAre(input.records, rules, input.timeZone, input.now);
  const asRead = shopView(input.records, input.technicians, input.machines, rules, as);
  const asTold = withConfirmed(asRead, input.confirmed ?? []);
  const layouts = layoutsOf(asTold, input.changes);
  const failures: FitFailure[] = [];
  const learnt = (model: ModelInput) => {
    const result = fitModel(model, input);
    if (!isFailure(result)) return result;
    failures.push(result);
    return standIn(model, result, input.warmStart);
  };
  const { passes, shop } = withSecondPasses(asTold, input.warmStart, (as) =>
    learnt({ name: 'passes', shop: as, layout: layouts.passes, read: passesRows, error: normalError }),
  );
  // Every other model reads the passes too: where they are absurd, none of them can.
  const doubtful = farOffOf(passes.model);
  const believed = { shop: without(shop, refsOf(doubtful)), doubtful };
  const labour = learnt({ name: 'labour', layout: layouts.labour, read: labourRows, error: labourError, ...believed });
  const ofWater: ModelInput = {
    name: 'water',
    layout: layouts.water,
    read: waterRows,
    error: normalError,
    ...believed,
  };
  const sectionSpread = sectionSpreadLearnt(ofWater, input);
  const rest = { ...believed, shop: { ...believed.shop, tanks: tanksLearnt(ofWater, input), sectionSpread } };
  const water = learnt({ ...ofWater, ...rest });
  const litres = waterForecast(water.model);
  const ofChecks = { ...rest, shop: withoutLitres(rest.shop, refsOf(farOffOf(water.model))) };
  const checked = checkedJobs(ofChecks.shop, layouts.drying, litres);
  const ofDrying = dryingInput(ofChecks, layouts.drying, litres, checked);
  const looks = looksLearnt(ofDrying, checked, input);
  const looked = { ...ofDrying, shop: { ...ofChecks.shop, looks } };
  const likeliest = { ...shop.nights, ...nightsLearnt(looked, input) };
  const drying = learnt({ ...looked, shop: { ...looked.shop, nights: likeliest } });
  const nights = nightsOf(drying.model, likeliest, shop, input.warmStart);
  if (failures.length === modelNames.length) return { status: 'failed', failures };
  const { dryingGivenWater, ...both } = separated(
    water.model,
    litres,
    drying.model,
    dryingLevel(layouts.drying, rules),
  );
  const models = { passes: passes.model, labour: labour.model, ...both };
  const asWritten = { ...readBy(passes.model, shop), secondPasses: asTold.secondPasses };
  const rows = {
    passes: passesRows(asWritten, passes.model.layout),
    labour: labour.rows,
    water: water.rows,
    drying: dryingRows(byTheClock(readBy(drying.model, looked.shop)), drying.model.layout, litres, checked),
  };
  return { status: 'fitted', fit: shopFit(input, { ...rest.shop, nights, looks }, models, dryingGivenWater), rows };
}

function layoutsOf(shop: ShopView, changes: LevelChanges = {}): Readonly<Record<ModelName, Layout>> {
  const steps = stepsBack(shop.jobs.map(({ job }) => job.finishedAt));
  const inTime = (layout: Layout, name: ModelName) => withChanges(withSteps(layout, steps), changes[name]);
  return {
    passes: inTime(passesLayout(shop), 'passes'),
    labour: inTime(labourLayout(shop), 'labour'),
    water: inTime(waterLayout(shop), 'water'),
    drying: inTime(dryingLayout(shop), 'drying'),
  };
}

/** What is made to be safe is learnt from a fit that takes all passes as needed, and the passes then once more without it, until no reading changes. */
function withSecondPasses(asTold: ShopView, before: ShopFit | undefined, fitted: (shop: ShopView) => FittedRows) {
  let shop = asTold;
  for (let round = 1; ; round++) {
    const passes = fitted(shop);
    const { standIn, used } = passes.model;
    if (standIn?.from === 'the fit before' && before)
      return { passes, shop: { ...asTold, secondPasses: before.secondPasses } };
    if (standIn !== undefined || used === 0) return { passes, shop: asTold };
    const secondPasses = secondPassesLearnt(passes.model, without(shop, refsOf(passes.model.leftOut)));
    const next = { ...shop, secondPasses };
    if (readAlike(shop.jobs, shop.secondPasses, secondPasses)) return { passes, shop: next };
    // Not settled by now: what is made is drawn by the reading that the model was fitted to, and no second pass counts twice.
    if (round === mostReadings) return { passes, shop };
    shop = next;
  }
}

const mostReadings = 4;

/** Drying is fitted with the water model's coefficients among its terms, known as far as the tanks tell: rows that hang on the same say so. */
function dryingInput(
  rest: Pick<ModelInput, 'shop' | 'doubtful'>,
  layout: Layout,
  water: WaterForecast,
  checked: CheckedJobs,
): ModelInput {
  const read = (shop: ShopView, of: Layout) => dryingRowsOnWater(shop, of, water, checked);
  return { name: 'drying', layout, read, error: normalError, known: knownWater(water), ...rest };
}

function dryingLevel(layout: Layout, rules: readonly RuleOfThumb[]): DryingLevel {
  const { fixed } = withRoomToChange(priorsOf('drying', layout, rules), layout);
  const column = termColumn(layout, 'int');
  return { column, mean: fixed.mean[column], sd: fixed.sd[column] };
}

/** Those by which the drying model counts its hours of the day: one that is taken over was fitted to those of its own time. */
function nightsOf({ standIn }: FittedModel, learnt: Nights, shop: ShopView, before: ShopFit | undefined): Nights {
  if (standIn === undefined) return learnt;
  if (standIn.from === 'rules of thumb' || before === undefined) return shop.nights;
  const { logRate, logRateSd } = before.nights;
  return { ...shop.nights, logRate, logRateSd };
}

/** The jobs that a model was fitted to: one taken over, to none of these. */
function readBy({ standIn, leftOut }: FittedModel, shop: ShopView): ShopView {
  return standIn ? { ...shop, jobs: [] } : without(shop, refsOf(leftOut));
}

/** For yardsticks, which know nothing of nights. */
function byTheClock(shop: ShopView): ShopView {
  return { ...shop, nights: { ...shop.nights, logRate: 0 } };
}

function shopFit(
  input: FitInput,
  shop: ShopView,
  models: ShopFit['models'],
  dryingGivenWater: DryingGivenWater,
): ShopFit {
  return {
    fittedAt: input.now.toISOString(),
    nJobs: input.records.length,
    rules: shop.rules,
    models,
    dryingGivenWater,
    givingUp: givingUpCounts(
      shop.jobs.map(({ job }) => job),
      shop.rules,
    ),
    comebacks: comebackCounts(input.records, input.now),
    surfaceRatios: shop.surfaceRatios,
    vacuumHabits: shop.vacuumHabits,
    dryHabits: shop.dryHabits,
    usualAir: shop.usualAir,
    readingSteps: shop.readingSteps,
    tanks: shop.tanks,
    sectionSpread: shop.sectionSpread,
    nights: shop.nights,
    looks: shop.looks,
    secondPasses: shop.secondPasses,
    technicianShares: technicianShares(input.records, input.now),
    machineShares: shop.machineShares,
  };
}

/** What the tanks told of these jobs is a slip; their checks are none. */
function withoutLitres(shop: ShopView, refs: ReadonlySet<string>): ShopView {
  if (refs.size === 0) return shop;
  const unread = { sprayedLitres: undefined, recoveredLitres: undefined };
  const jobs = shop.jobs.map((done) => {
    if (!refs.has(done.job.ref)) return done;
    const sections = done.sections.map((section) => ({ ...section, ...unread }));
    return { ...done, job: { ...done.job, ...unread }, sections };
  });
  return { ...shop, jobs };
}
