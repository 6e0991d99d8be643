import type { ModelName } from '../../domain/doubts.ts';
import type { Machine, Technician } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { soils } from '../../domain/vocabulary.ts';
import { evenly } from '../../models/evenly.ts';
import { columnCount, type Layout } from '../../models/layout.ts';
import { dryingRows } from '../../models/rows/drying-rows.ts';
import { labourRows } from '../../models/rows/labour-rows.ts';
import { type ModelRows, sparse } from '../../models/rows/model-rows.ts';
import { passesRows } from '../../models/rows/passes-rows.ts';
import { meanGap, measuredEntries } from '../../models/rows/water-rows.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { type DoneJob, extractorsOf, readAs, type ShopView, shopView } from '../../models/shop-view.ts';
import { waterForecast } from '../../models/water-forecast.ts';
import { doneSections, isExtracted } from '../../models/work-section.ts';
import { type Forecast, type JobForecast, logNormal } from '../scoring/forecast.ts';
import type { Outcome } from '../scoring/outcomes.ts';
import { type LeastSquares, leastSquares } from './least-squares.ts';
import { type SeenJob, typicalValue } from './soil-means.ts';

const leastSpread = 0.02;

/** The shop's lists, by which a job to be forecast is read. */
interface Lists {
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
}

/**
 * Least squares on the rows that the models were fitted to, people and machines among them: of the logarithm, over the same offsets. An
 * interval counts as its middle. Passes are not known before the work: the mean of the soil level stands for them in what is forecast, and the
 * spread of hours and water is that of such forecasts on the jobs known, else the line would be too sure of itself.
 * A model with fewer rows than columns has no line, and forecasts nothing.
 */
export function modelLines(
  fit: ShopFit,
  rows: Readonly<Record<ModelName, ModelRows>>,
  known: readonly SeenJob[],
  lists: Lists,
): (job: FinishedJob) => Partial<JobForecast> {
  const lineOf = (model: ModelName) => trained(model, rows[model], fit.models[model].layout);
  const lines = {
    passes: lineOf('passes'),
    labour: lineOf('labour'),
    water: lineOf('water'),
    drying: lineOf('drying'),
  };
  const asTrained = forecaster(fit, lines, known, lists);
  const tried = evenly(known, triedJobs).map(({ job, outcomes }) => ({ outcomes, forecast: asTrained(job) }));
  const [labour, water] = [widened('labour', lines.labour, tried), widened('water', lines.water, tried)];
  return forecaster(fit, { ...lines, labour, water }, known, lists);
}

/** Known jobs that a line's spread is taken from. */
const triedJobs = 100;

type Lines = Readonly<Record<ModelName, LeastSquares | undefined>>;

interface Tried {
  readonly outcomes: readonly Outcome[];
  readonly forecast: Partial<JobForecast>;
}

function widened(model: ModelName, line: LeastSquares | undefined, tried: readonly Tried[]): LeastSquares | undefined {
  if (line === undefined) return undefined;
  const squares = tried.flatMap(({ outcomes, forecast }) =>
    outcomes.flatMap((outcome) => {
      const own = outcome.model === model ? outcome.ofJob(forecast) : undefined;
      const came = typicalValue(outcome);
      return own === undefined || came === undefined ? [] : [Math.log(came / own.quantile(0.5)) ** 2];
    }),
  );
  const mean = squares.reduce((sum, square) => sum + square, 0) / Math.max(1, squares.length);
  return { ...line, residualSd: Math.max(line.residualSd, Math.sqrt(mean)) };
}

/** Forecasts a job by the lines, as it stood before the work. */
function forecaster(
  fit: ShopFit,
  lines: Lines,
  known: readonly SeenJob[],
  { technicians, machines }: Lists,
): (job: FinishedJob) => Partial<JobForecast> {
  const litres = waterForecast(fit.models.water);
  const passes = meanPassesBySoil(known.map(({ job }) => job));
  const view = shopView([], technicians, machines, fit.rules, readAs(fit));
  const { passes: passesModel, labour, water, drying } = fit.models;
  return (job) => {
    const done = beforeTheWork(job, passes, fit, machines);
    const one = { ...view, jobs: [done] };
    const ofPasses = forecasts(lines.passes, passesRows(one, passesModel.layout));
    return {
      ...(ofPasses.length === job.sections.length ? { passes: ofPasses } : {}),
      hours: forecasts(lines.labour, labourRows(one, labour.layout))[0],
      litres: forecasts(lines.water, measured(view, water.layout, done))[0],
      dryHours: forecasts(lines.drying, dryingRows(one, drying.layout, litres))[0],
    };
  };
}

/** The job with nothing in it that only the work told: mean passes, dry ones by habit, no litres. */
function beforeTheWork(
  job: FinishedJob,
  passes: (soil: string) => number,
  fit: ShopFit,
  machines: readonly Machine[],
): DoneJob {
  const sections = job.sections.map((section) => ({
    ...section,
    wetPasses: passes(section.soil),
    dryPasses: undefined,
    result: 'clean' as const,
    sprayedLitres: undefined,
    recoveredLitres: undefined,
  }));
  const before = { ...job, sections, sprayedLitres: undefined, recoveredLitres: undefined };
  return {
    job: before,
    sections: doneSections(before, fit),
    extractors: extractorsOf(job, machines, fit.machineShares),
  };
}

function measured(view: ShopView, layout: Layout, done: DoneJob): Pick<ModelRows, 'rows' | 'observations'> {
  const extracted = done.sections.filter(isExtracted);
  const rows = extracted.length === 0 ? [] : [{ entries: measuredEntries(view, layout, done, extracted, 'job') }];
  const none = new Float64Array(rows.length);
  const offset = Float64Array.from(rows, () => meanGap(view, done, extracted));
  return { rows: sparse(rows, columnCount(layout)), observations: { lower: none, upper: none, offset } };
}

function trained(model: ModelName, train: ModelRows, layout: Layout): LeastSquares | undefined {
  const names = Array.from({ length: columnCount(layout) }, (_, j) => layout.terms[j] ?? `effect ${j}`);
  const { lower, upper, offset } = train.observations;
  const kept: number[] = [];
  const y: number[] = [];
  lower.forEach((low, i) => {
    const value = typicalOf(model, Math.exp(low), Math.exp(upper[i]));
    if (value === undefined) return;
    kept.push(i);
    y.push(Math.log(value) - offset[i]);
  });
  try {
    return leastSquares(dense(train, kept), y, names);
  } catch (error) {
    if (error instanceof RangeError) return undefined; // fewer rows than columns: no line to be had
    throw error;
  }
}

/** Of a section that did not come clean the rows say only that it needed more: what was made is their lower end. */
function typicalOf(model: ModelName, from: number, to: number): number | undefined {
  if (model === 'passes') return (Number.isFinite(to) ? to : from) - 0.5;
  return typicalValue({ model, from, to, value: from === to ? from : undefined });
}

function forecasts(line: LeastSquares | undefined, of: Pick<ModelRows, 'rows' | 'observations'>): readonly Forecast[] {
  if (line === undefined) return [];
  const all = Array.from({ length: of.rows.nRows }, (_, i) => i);
  return dense(of, all).map((row, i) =>
    logNormal(line.predict(row) + of.observations.offset[i], Math.max(leastSpread, line.residualSd)),
  );
}

/** Of the sections that were wetted: a job to be forecast will be, and of no passes there is no logarithm. */
function meanPassesBySoil(known: readonly FinishedJob[]): (soil: string) => number {
  const sections = known.flatMap((job) => job.sections).filter(({ wetPasses }) => wetPasses > 0);
  const mean = (of: typeof sections) =>
    of.length === 0 ? 1 : of.reduce((sum, { wetPasses }) => sum + wetPasses, 0) / of.length;
  const all = mean(sections);
  const levels = new Map(
    soils.map((soil) => {
      const own = sections.filter((section) => section.soil === soil);
      return [soil as string, own.length < 3 ? all : mean(own)];
    }),
  );
  return (soil) => levels.get(soil) ?? all;
}

function dense({ rows }: Pick<ModelRows, 'rows'>, kept: readonly number[]): number[][] {
  return kept.map((i) => {
    const row = new Array<number>(rows.nColumns).fill(0);
    for (let k = rows.rowStart[i]; k < rows.rowStart[i + 1]; k++) row[rows.column[k]] += rows.value[k];
    return row;
  });
}
