import type { Machine, Technician } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import type { FittedShop } from '../../models/fit.ts';
import { modelNames, type ShopFit } from '../../models/shop-fit.ts';
import { modelLines } from '../yardsticks/model-lines.ts';
import { soilMeans } from '../yardsticks/soil-means.ts';
import { forecastJob, scoreOutcomes } from './job-scores.ts';
import { added, emptyModels, type MonthScores, monthOfOne } from './month-scores.ts';
import { outcomesOf } from './outcomes.ts';
import { type Unread, unreadOf } from './unread.ts';

/** A month to be forecast, and what was known at its start. */
interface MonthCase {
  readonly known: readonly FinishedJob[];
  /** The month's jobs, or an even choice of them. */
  readonly jobs: readonly FinishedJob[];
  /** The month's first instant. */
  readonly now: Date;
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly unread: Unread | undefined;
}

/** A yardstick learns from no fewer jobs. */
const fewestKnown = 5;

/** Forecasts a month's jobs from what was known, from the rules of thumb, and by the plain yardsticks, and scores all of them on the same outcomes. */
export function scoreMonth(month: MonthCase, fitted: FittedShop, byRule: ShopFit): MonthScores['models'] {
  const { fit } = fitted;
  const models = emptyModels();
  const yardsticks = yardsticksOf(month, fitted);
  for (const job of month.jobs) {
    const outcomes = outcomesOf(fit, job).filter(({ model }) => !month.unread?.[model].has(job.ref));
    const own = scoreOutcomes(outcomes, forecastJob(fit, job, month));
    const rule = scoreOutcomes(outcomes, forecastJob(byRule, job, month));
    const soil = scoreOutcomes(outcomes, yardsticks.soilMeans(job));
    const line = scoreOutcomes(outcomes, yardsticks.leastSquares(job));
    for (const model of modelNames) {
      const [mine, thumb] = [own[model], rule[model]];
      if (mine === undefined || thumb === undefined) continue;
      const one = monthOfOne({ own: mine, rule: thumb, soilMeans: soil[model], leastSquares: line[model] });
      models[model] = added(models[model], one);
    }
  }
  return models;
}

/** What can be learnt from the jobs known, in plainer ways than the models'. */
function yardsticksOf({ known, technicians, machines }: MonthCase, { fit, rows }: FittedShop) {
  if (known.length < fewestKnown) return { soilMeans: () => ({}), leastSquares: () => ({}) };
  const leftOut = unreadOf(fit);
  const seen = known.map((job) => ({
    job,
    outcomes: outcomesOf(fit, job).filter(({ model }) => !leftOut[model].has(job.ref)),
  }));
  return { soilMeans: soilMeans(seen), leastSquares: modelLines(fit, rows, seen, { technicians, machines }) };
}
