import type { ModelName } from '../domain/doubts.ts';
import type { Machine, Technician } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import { type FitOptions, fitRegression } from '../inference/fit.ts';
import { quantiles } from '../inference/quantile.ts';
import type { ErrorDistribution, FitFailure } from '../inference/types.ts';
import { comebackCounts } from './comebacks.ts';
import { evenly } from './evenly.ts';
import { farOffRecords, suspectRecords } from './far-off.ts';
import { givingUpCounts } from './giving-up.ts';
import { machineShares, technicianShares } from './habits.ts';
import {
  behindKnown,
  columnCount,
  type KnownTerms,
  type Layout,
  type LevelChanges,
  priorsOf,
  stepsBack,
  withChanges,
  withRoomToChange,
  withSteps,
} from './layout.ts';
import { type LogRate, likeliestNight, type Nights } from './nights.ts';
import { jobReadings } from './readings.ts';
import { dryingLayout, dryingRows, dryingRowsOnWater } from './rows/drying-rows.ts';
import { labourLayout, labourRows } from './rows/labour-rows.ts';
import { evenlySpread, type LeftOut, type ModelRows, sparse } from './rows/model-rows.ts';
import { passesLayout, passesRows } from './rows/passes-rows.ts';
import { throughOverLeft, waterLayout, waterRows } from './rows/water-rows.ts';
import { type RuleOverrides, ruleTable } from './rule-table.ts';
import { readAlike, secondPassesLearnt } from './second-pass-learnt.ts';
import { type FittedModel, modelNames, type ShopFit } from './shop-fit.ts';
import { asTheyAre, type DoneJob, type ShopView, shopView } from './shop-view.ts';
import { likeliestNoise, type Tanks } from './tanks.ts';
import { type DryingGivenWater, knownWater, separated } from './water-and-drying.ts';
import { type WaterForecast, waterForecast } from './water-forecast.ts';

/** What a fit is made from: finished jobs in any order, the shop's lists, its adjusted rules, and the fit before. */
export interface FitInput {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules?: RuleOverrides | undefined;
  readonly now: Date;
  /** IANA name of the shop's zone, by whose clock some drying falls into the night; UTC where absent. */
  readonly timeZone?: string | undefined;
  /** Refs of records that somebody looked at and confirmed: they are read however odd they are. */
  readonly confirmed?: readonly string[] | undefined;
  /** Where the search begins; a good one saves time and changes nothing beyond the search's own tolerance. */
  readonly warmStart?: ShopFit | undefined;
  /** Months with which a model's level changed: what it learns of its work from older records is kept, their level is not. */
  readonly changes?: LevelChanges | undefined;
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
 * Drying is fitted last, on the water model's forecast of the litres, and what it tells of them goes back into the water model.
 * A model that cannot be fitted is taken over from the fit before, or from the rules of thumb, and says so: what keeps one figure from being
 * learnt is no reason to keep the shop from the other three.
 * Returns the fit, or every failure by name where no model could be fitted: the caller keeps the fit it had.
 * Throws RangeError where an adjusted rule cannot be used.
 */
export function fitShop(input: FitInput): ShopFitResult {
  const rules = ruleTable(input.rules);
  const as = asTheyAre(input.records, rules, input.timeZone);
  const asTold = shopView(input.records, input.technicians, input.machines, rules, as);
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
  const rest = { ...believed, shop: { ...believed.shop, tanks: tanksLearnt(ofWater, input) } };
  const water = learnt({ ...ofWater, ...rest });
  const litres = waterForecast(water.model);
  const ofChecks = { ...rest, shop: withoutLitres(rest.shop, refsOf(farOffOf(water.model))) };
  const ofDrying = dryingInput(ofChecks, layouts.drying, litres);
  const likeliest = { ...shop.nights, ...nightsLearnt(ofDrying, input) };
  const drying = learnt({ ...ofDrying, shop: { ...ofChecks.shop, nights: likeliest } });
  const nights = nightsOf(drying.model, likeliest, shop, input.warmStart);
  if (failures.length === modelNames.length) return { status: 'failed', failures };
  const { dryingGivenWater, ...both } = separated(water.model, litres, drying.model);
  const models = { passes: passes.model, labour: labour.model, ...both };
  const asWritten = { ...readBy(passes.model, shop), secondPasses: asTold.secondPasses };
  const rows = {
    passes: passesRows(asWritten, passes.model.layout),
    labour: labour.rows,
    water: water.rows,
    drying: dryingRows(byTheClock(readBy(drying.model, ofChecks.shop)), drying.model.layout, litres),
  };
  return { status: 'fitted', fit: shopFit(input, { ...rest.shop, nights }, models, dryingGivenWater), rows };
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
function dryingInput(rest: Pick<ModelInput, 'shop' | 'doubtful'>, layout: Layout, water: WaterForecast): ModelInput {
  const read = (shop: ShopView, of: Layout) => dryingRowsOnWater(shop, of, water);
  return { name: 'drying', layout, read, error: normalError, known: knownWater(water), ...rest };
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

/** How much of an hour of the day one of the night dries: the likeliest by the drying model itself. */
function nightsLearnt(model: ModelInput, input: FitInput): LogRate {
  const { nights, jobs } = model.shop;
  const checked = jobs.filter(({ job }) => (job.drying?.checks.length ?? 0) > 0);
  const evidence = evidenceOf(model, checked, input);
  return evidence ? likeliestNight(nights, (logRate) => evidence({ nights: { ...nights, logRate } })) : nights;
}

/** How far off the tanks are beside their step: by the water model itself. */
function tanksLearnt(model: ModelInput, input: FitInput): Tanks {
  const { shop } = model;
  const read = shop.jobs.flatMap((done) =>
    jobReadings(done.job, done.sections)
      .readings.filter(({ of }) => of === 'job')
      .map((reading) => ({ done, through: throughOverLeft(shop, done, reading) })),
  );
  const jobs = read.map(({ done }) => done);
  const evidence = evidenceOf(model, jobs, input);
  if (evidence === undefined) return shop.tanks;
  const [through] = quantiles(
    Float64Array.from(read, (one) => one.through),
    [0.5],
  );
  return { through, noise: likeliestNoise((noise) => evidence({ tanks: { noise, through } })) };
}

/** So many records tell well enough how things are read. */
const mostForReading = 300;

/**
 * The log evidence of a model when records are read another way. All ways are tried on the same of these records, those that the fit by the
 * rule believes, at the spreads' maximum; undefined where there are none.
 */
function evidenceOf(
  model: ModelInput,
  jobs: readonly DoneJob[],
  input: FitInput,
): ((as: Partial<ShopView>) => number | undefined) | undefined {
  const inTime = jobs.toSorted((a, b) => Date.parse(a.job.finishedAt) - Date.parse(b.job.finishedAt));
  const byRule = { ...model, shop: { ...model.shop, jobs: evenly(inTime, mostForReading) } };
  const first = fitModel(byRule, { ...input, integrate: false });
  if (isFailure(first) || first.model.used === 0) return undefined;
  const shop = without(byRule.shop, refsOf(first.model.leftOut));
  const start = startFrom(first.model, byRule);
  return (as) => {
    const other: ModelInput = { ...byRule, shop: { ...shop, ...as } };
    const tried = fittedRows(other, other.read(other.shop, other.layout), { ...start, integrate: false });
    return isFailure(tried) ? undefined : tried.posterior.trace.logMarginal;
  };
}

interface FittedRows {
  readonly model: FittedModel;
  readonly rows: ModelRows;
}

/** One model's share of a fit: its records, its columns, how it reads, and what is left out for all. */
interface ModelInput {
  readonly name: ModelName;
  readonly shop: ShopView;
  readonly layout: Layout;
  readonly read: (shop: ShopView, layout: Layout) => ModelRows;
  readonly error: ErrorDistribution;
  /** Terms before those of the layout. */
  readonly known?: KnownTerms;
  readonly doubtful?: readonly LeftOut[];
}

function fitModel(model: ModelInput, { warmStart, confirmed = [], integrate }: FitInput): FittedRows | FitFailure {
  const { name, shop, layout, read, doubtful = [] } = model;
  const { rules } = shop;
  const fitRows = (rows: ModelRows, start: FittedModel | undefined) =>
    fittedRows(model, rows, { ...startFrom(start, model), integrate });
  const all = read(shop, layout);
  const first = fitRows(all, warmStart?.models[name]);
  if (isFailure(first)) return first;
  const suspects = suspectRecords({ name, model: first, rules, confirmed }, all);
  if (suspects.size === 0) return { model: { ...first, leftOut: [...first.leftOut, ...doubtful] }, rows: all };
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
  if (isFailure(again)) return again;
  const { model: fitted, rows } = again;
  return { model: { ...fitted, leftOut: [...fitted.leftOut, ...far, ...doubtful] }, rows };
}

/** The model of the fit before where it had learnt anything, else the rules of thumb alone; neither was fitted to any row of now. */
function standIn(model: ModelInput, { message }: FitFailure, before: ShopFit | undefined): FittedRows {
  const rows = model.read({ ...model.shop, jobs: [] }, model.layout);
  const former = before?.models[model.name];
  if (former !== undefined && former.used > 0)
    return { model: { ...former, standIn: { from: 'the fit before', reason: message } }, rows };
  const byRules = fittedRows(model, rows, {});
  if (isFailure(byRules)) throw new Error(`the rules of thumb alone could not be used: ${byRules.message}`);
  return { model: { ...byRules, standIn: { from: 'rules of thumb', reason: message } }, rows };
}

function farOffOf({ leftOut }: FittedModel): readonly LeftOut[] {
  return leftOut.filter(({ farOff }) => farOff !== undefined);
}

function refsOf(records: readonly LeftOut[]): ReadonlySet<string> {
  return new Set(records.map(({ ref }) => ref));
}

function without(shop: ShopView, refs: ReadonlySet<string>): ShopView {
  return refs.size === 0 ? shop : { ...shop, jobs: shop.jobs.filter(({ job }) => !refs.has(job.ref)) };
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

function fittedRows(
  { name, shop, layout, error, known }: Omit<ModelInput, 'doubtful'>,
  read: ModelRows,
  options: FitOptions,
): FittedModel | FitFailure {
  const { used, leftOut, readingSd } = read;
  const { rows: spread, observations } = evenlySpread(read);
  const own = withRoomToChange(priorsOf(name, layout, shop.rules), layout);
  // Without a row nothing ties the model to what is known from elsewhere.
  const isTied = known !== undefined && used > 0;
  const { fixed, groups, sigma } = isTied ? behindKnown(own, known) : own;
  const rows = used === 0 ? sparse([], columnCount(layout)) : spread;
  const problem = { name, rows, observations, error, fixed, groups, sigma: { ...sigma, readingSd } };
  const result = fitRegression(problem, options);
  return result.status === 'failed' ? result : { layout, posterior: result.posterior, used, leftOut };
}

/** The former maximum is a place to begin only where its columns mean the same, and where there were records to have one. */
function startFrom(former: FittedModel | undefined, { layout, known }: ModelInput) {
  if (former === undefined || former.used === 0 || JSON.stringify(former.layout) !== JSON.stringify(layout)) return {};
  const [start] = former.posterior.points;
  if (start.mode.length !== columnCount(layout) || known === undefined) return { start };
  return { start: { ...start, mode: Float64Array.from([...known.mean, ...start.mode]) } };
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
    nights: shop.nights,
    secondPasses: shop.secondPasses,
    technicianShares: technicianShares(input.records, input.now),
    machineShares: machineShares(input.records, input.now),
  };
}

function isFailure(result: FittedModel | FittedRows | FitFailure): result is FitFailure {
  return 'status' in result;
}
