import type { Machine, Technician } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { fitShop } from '../../models/fit.ts';
import { type RuleOverrides, ruleTable } from '../../models/rule-table.ts';
import { modelNames, type ShopFit } from '../../models/shop-fit.ts';
import { shopView } from '../../models/shop-view.ts';
import { modelLines } from '../yardsticks/model-lines.ts';
import { soilMeans } from '../yardsticks/soil-means.ts';
import { fingerprintText, noText, withText } from './fingerprint.ts';
import { forecastJob, outcomesOf, scoreOutcomes } from './job-scores.ts';
import { added, emptyModels, type MonthScores, monthOfOne } from './month-scores.ts';
import { type Unread, unreadOf } from './unread.ts';

export interface ShopHistory {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules: RuleOverrides;
  readonly now: Date;
  /** Refs of records that are read however odd they are. */
  readonly confirmed?: readonly string[] | undefined;
  /** By model, refs of the records that today's fit does not believe: what came of them is not held against a forecast. */
  readonly unread?: Unread | undefined;
  /** Scores of an earlier run: a month whose basis is the same is taken over. */
  readonly formerMonths?: readonly MonthScores[] | undefined;
  /** Changes whenever the same records would be forecast otherwise: the program's own version. */
  readonly version: number;
}

const mostMonths = 12;
/** Jobs forecast a month, evenly over it: enough to judge by, and a large shop's first night does not wait for thousands. */
const mostJobs = 30;
/**
 * Months that were not scored before share a night's time, the latest first; the others follow in the nights to come. A month costs the jobs
 * known at its start beyond these few, which cost next to nothing. Two months are always done, so that a shop of any size gets on.
 */
const mostRead = 3000;
const readForNothing = 400;
const leastMonths = 2;
/** A yardstick learns from no fewer jobs. */
const fewestKnown = 5;

/**
 * Rolling origin: at the start of each of the last twelve months with jobs a fit is made of what was known then, and that month's finished
 * jobs are forecast and scored, against the rule of thumb and against plain yardsticks on the same jobs.
 */
export function scoreShop(history: ShopHistory): readonly MonthScores[] {
  const byTime = [...history.records].sort((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt));
  const months = [...new Set(byTime.map(monthOf))].slice(-mostMonths);
  const basisOf = monthBases(byTime, history);
  const former = new Map((history.formerMonths ?? []).map((month) => [month.basis, month]));
  const isKept = (month: string) => former.has(basisOf(month));
  const due = new Set(latestWithin(months, isKept, (month) => byTime.filter((job) => monthOf(job) < month).length));
  let byRule: ShopFit | string | undefined;
  let lastFit: ShopFit | undefined;
  return months.flatMap((month) => {
    const basis = basisOf(month);
    const kept = former.get(basis);
    if (kept !== undefined) return [kept];
    if (!due.has(month)) return [];
    byRule ??= fitted({ ...history, records: [] });
    const known = byTime.filter((job) => monthOf(job) < month);
    const then = { ...history, now: new Date(`${month}-01T00:00:00Z`) };
    const fit = fitted({ ...then, records: known }, lastFit);
    if (typeof fit !== 'string') lastFit = fit;
    const all = byTime.filter((job) => monthOf(job) === month);
    return [{ ...scoreMonth(month, known, evenly(all, mostJobs), then, fit, byRule), basis }];
  });
}

/** At most so many of the jobs, evenly spaced; no choice looks at how they came out. */
export function evenly<T>(jobs: readonly T[], most: number): readonly T[] {
  if (jobs.length <= most) return jobs;
  return Array.from({ length: most }, (_, i) => jobs[Math.floor(((i + 0.5) * jobs.length) / most)]);
}

function monthOf(job: FinishedJob): string {
  return new Date(job.finishedAt).toISOString().slice(0, 7);
}

/** The latest of the months still to be scored whose reading, in sum, is within what a night may read. */
export function latestWithin(
  months: readonly string[],
  isKept: (month: string) => boolean,
  jobsKnown: (month: string) => number,
): readonly string[] {
  const due: string[] = [];
  let read = 0;
  for (const month of [...months].reverse()) {
    if (isKept(month)) continue;
    read += Math.max(0, jobsKnown(month) - readForNothing);
    if (due.length >= leastMonths && read > mostRead) break;
    due.push(month);
  }
  return due;
}

/** The fingerprint of everything up to a month's end, with the lists, the rules, what is believed of the month and the program's version. */
function monthBases(
  byTime: readonly FinishedJob[],
  { technicians, machines, rules, confirmed, unread, version }: ShopHistory,
): (month: string) => string {
  const upTo = new Map<string, string>();
  let print = withText(noText, JSON.stringify([version, technicians, machines, rules, confirmed ?? []]));
  for (const job of byTime) {
    const doubted = modelNames.filter((model) => unread?.[model].has(job.ref));
    print = withText(print, JSON.stringify([job, doubted]));
    upTo.set(monthOf(job), fingerprintText(print));
  }
  return (month) => upTo.get(month) ?? '';
}

function fitted(
  { records, technicians, machines, rules, confirmed, now }: Omit<ShopHistory, 'version'>,
  warmStart?: ShopFit,
): ShopFit | string {
  const result = fitShop({ records, technicians, machines, rules, confirmed, now, warmStart });
  return result.status === 'fitted' ? result.fit : result.failures.map(({ message }) => message).join(' ');
}

function scoreMonth(
  month: string,
  known: readonly FinishedJob[],
  jobs: readonly FinishedJob[],
  history: ShopHistory,
  fit: ShopFit | string,
  byRule: ShopFit | string,
): Omit<MonthScores, 'basis'> {
  const about = { month, jobsKnown: known.length, jobs: jobs.length };
  if (typeof fit === 'string' || typeof byRule === 'string')
    return { ...about, failed: typeof fit === 'string' ? fit : String(byRule), models: emptyModels() };
  const models = emptyModels();
  const yardsticks = yardsticksOf(fit, known, history);
  for (const job of jobs) {
    const outcomes = outcomesOf(fit, job).filter(({ model }) => !history.unread?.[model].has(job.ref));
    const rule = scoreOutcomes(outcomes, forecastJob(byRule, job, history));
    const soil = scoreOutcomes(outcomes, yardsticks.soilMeans(job));
    const line = scoreOutcomes(outcomes, yardsticks.leastSquares(job));
    scoreOutcomes(outcomes, forecastJob(fit, job, history)).forEach((own, i) => {
      const byThumb = rule[i];
      if (own === undefined || byThumb === undefined) return;
      const one = monthOfOne({ own, rule: byThumb, soilMeans: soil[i], leastSquares: line[i] });
      models[own.model] = added(models[own.model], one);
    });
  }
  return { ...about, failed: null, models };
}

/** What can be learnt from the jobs known, in plainer ways than the models'. */
function yardsticksOf(fit: ShopFit, known: readonly FinishedJob[], history: ShopHistory) {
  if (known.length < fewestKnown) return { soilMeans: () => ({}), leastSquares: () => ({}) };
  const { technicians, machines, rules } = history;
  const leftOut = unreadOf(fit);
  const seen = known.map((job) => ({
    job,
    outcomes: outcomesOf(fit, job).filter(({ model }) => !leftOut[model].has(job.ref)),
  }));
  const view = { ...shopView(known, technicians, machines, ruleTable(rules)), surfaceRatios: fit.surfaceRatios };
  return { soilMeans: soilMeans(seen), leastSquares: modelLines(fit, view, machines) };
}
