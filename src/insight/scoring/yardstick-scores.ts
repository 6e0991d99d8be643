import type { Machine, Technician } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { soils } from '../../domain/vocabulary.ts';
import { crpsLogNormal } from '../../inference/scores.ts';
import { columnCount } from '../../models/layout.ts';
import { labourLayout, labourRows } from '../../models/rows/labour-rows.ts';
import type { ModelRows } from '../../models/rows/model-rows.ts';
import type { RuleOfThumb } from '../../models/rules-of-thumb.ts';
import { shopView } from '../../models/shop-view.ts';
import { actualHours, kindsBy } from '../quotes/kinds.ts';
import { type LeastSquares, leastSquares } from '../yardsticks/least-squares.ts';

/** The plain ways to forecast a job's hours that the model is held against; each gives a CRPS in hours, or undefined. */
export interface HoursYardsticks {
  soilMeans(job: FinishedJob): number;
  leastSquares(job: FinishedJob): number | undefined;
}

interface Shop {
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules: readonly RuleOfThumb[];
}

/** Pseudo-jobs that hold a soil level's mean to that of all. */
const shrinkage = 3;

/** Trains both on the jobs known so far: mean and spread of log hours by heaviest soil, and least squares on the model's own terms. */
export function hoursYardsticks(known: readonly FinishedJob[], shop: Shop): HoursYardsticks {
  const bySoil = soilTable(known);
  const line = labourLine(known, shop);
  return {
    soilMeans: (job) => {
      const { mean, sd } = bySoil(kindsBy.heaviestSoil(job));
      return crpsLogNormal(actualHours(job), mean, sd);
    },
    leastSquares: (job) => line?.(job),
  };
}

function soilTable(known: readonly FinishedJob[]) {
  const logs = (jobs: readonly FinishedJob[]) => jobs.map((job) => Math.log(actualHours(job)));
  const all = summary(logs(known));
  const levels = new Map(
    soils.map((soil) => {
      const own = logs(known.filter((job) => kindsBy.heaviestSoil(job) === soil));
      const total = own.reduce((sum, value) => sum + value, 0);
      const mean = (total + shrinkage * all.mean) / (own.length + shrinkage);
      return [soil as string, { mean, sd: own.length >= 5 ? summary(own).sd : all.sd }];
    }),
  );
  return (soil: string) => levels.get(soil) ?? all;
}

function summary(values: readonly number[]) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, sd: Math.max(0.05, Math.sqrt(squares / Math.max(1, values.length - 1))) };
}

/**
 * Least squares of log hours over the work content on the labour model's terms, people and machines. Passes are not known before the work:
 * the mean of the soil level stands for them. Undefined where there are too few jobs for its columns.
 */
function labourLine(known: readonly FinishedJob[], { technicians, machines, rules }: Shop) {
  const view = shopView(known, technicians, machines, rules);
  const layout = labourLayout(view);
  const names = Array.from({ length: columnCount(layout) }, (_, j) => layout.terms[j] ?? `effect ${j}`);
  const passes = meanPassesBySoil(known);
  let line: LeastSquares;
  try {
    const train = labourRows(view, layout);
    line = leastSquares(dense(train), response(train), names);
  } catch (error) {
    if (error instanceof RangeError) return undefined; // fewer jobs than columns: no line to be had
    throw error;
  }
  return (job: FinishedJob): number | undefined => {
    const before = {
      ...job,
      sections: job.sections.map((section) => ({ ...section, wetPasses: passes(section.soil) })),
    };
    const rows = labourRows({ ...view, jobs: shopView([before], technicians, machines, rules).jobs }, layout);
    if (rows.rows.nRows === 0) return undefined;
    const mean = line.predict(dense(rows)[0]) + rows.observations.offset[0];
    return crpsLogNormal(actualHours(job), mean, Math.max(0.02, line.residualSd));
  };
}

function meanPassesBySoil(known: readonly FinishedJob[]) {
  const sections = known.flatMap((job) => job.sections);
  const mean = (of: typeof sections) => of.reduce((sum, { wetPasses }) => sum + wetPasses, 0) / Math.max(1, of.length);
  const all = mean(sections);
  const levels = new Map(
    soils.map((soil) => {
      const own = sections.filter((section) => section.soil === soil);
      return [soil as string, own.length < 3 ? all : mean(own)];
    }),
  );
  return (soil: string) => levels.get(soil) ?? all;
}

function dense({ rows }: ModelRows): number[][] {
  return Array.from({ length: rows.nRows }, (_, i) => {
    const row = new Array<number>(rows.nColumns).fill(0);
    for (let k = rows.rowStart[i]; k < rows.rowStart[i + 1]; k++) row[rows.column[k]] += rows.value[k];
    return row;
  });
}

function response({ observations: { lower, offset } }: ModelRows): number[] {
  return Array.from(lower, (value, i) => value - offset[i]);
}
