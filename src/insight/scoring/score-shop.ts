import type { ModelName } from '../../domain/doubts.ts';
import type { Machine, Technician } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { fitShop } from '../../models/fit.ts';
import { type RuleOverrides, ruleTable } from '../../models/rule-table.ts';
import { modelNames, type ShopFit } from '../../models/shop-fit.ts';
import { fingerprintText, noText, withText } from './fingerprint.ts';
import { type OutcomeScore, scoreJob } from './job-scores.ts';
import { hoursYardsticks } from './yardstick-scores.ts';

/** One model's forecasts of one month, on jobs that the fit had not seen. Sums over outcomes, so that months can be added. */
export interface ModelMonth {
  readonly n: number;
  readonly score: number;
  readonly ruleOfThumb: number;
  /** Sum and sum of squares of score less rule of thumb, outcome by outcome: what a paired test needs. */
  readonly gap: number;
  readonly gapSquares: number;
  /** Hours only: null where there is no such yardstick. */
  readonly soilMeans: number | null;
  readonly leastSquares: number | null;
  readonly inside50: number;
  readonly inside80: number;
  readonly inside90: number;
  readonly logError: number;
  readonly logErrorSquares: number;
  readonly nLogErrors: number;
}

export interface MonthScores {
  /** YYYY-MM, by UTC. */
  readonly month: string;
  readonly jobsKnown: number;
  /** Jobs of the month that were forecast: all of them, or an even choice of forty. */
  readonly jobs: number;
  /** Fingerprint of all that the month's figures are made from: the same again need not be computed again. */
  readonly basis: string;
  /** Why no forecast could be made of this month; null where it was. */
  readonly failed: string | null;
  readonly models: Readonly<Record<ModelName, ModelMonth>>;
}

export interface ShopHistory {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules: RuleOverrides;
  readonly now: Date;
  /** Scores of an earlier run: a month whose basis is the same is taken over. */
  readonly formerMonths?: readonly MonthScores[] | undefined;
  /** Changes whenever the same records would be forecast otherwise: the program's own version. */
  readonly version: number;
}

const mostMonths = 12;
/** Jobs forecast a month, evenly over it: enough to judge by, and a large shop's first night does not wait for thousands. */
const mostJobs = 40;

/**
 * Rolling origin: at the start of each of the last twelve months with jobs a fit is made of what was known then, and that month's finished
 * jobs are forecast and scored, against the rule of thumb and against plain yardsticks on the same jobs.
 */
export function scoreShop(history: ShopHistory): readonly MonthScores[] {
  const byTime = [...history.records].sort((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt));
  const monthOf = (job: FinishedJob) => new Date(job.finishedAt).toISOString().slice(0, 7);
  const months = [...new Set(byTime.map(monthOf))].slice(-mostMonths);
  const basisOf = monthBases(byTime, history, monthOf);
  const former = new Map((history.formerMonths ?? []).map((month) => [month.basis, month]));
  let byRule: ShopFit | string | undefined;
  let lastFit: ShopFit | undefined;
  return months.map((month) => {
    const basis = basisOf(month);
    const kept = former.get(basis);
    if (kept !== undefined) return kept;
    byRule ??= fitted({ ...history, records: [] });
    const known = byTime.filter((job) => monthOf(job) < month);
    const then = { ...history, now: new Date(`${month}-01T00:00:00Z`) };
    const fit = fitted({ ...then, records: known }, lastFit);
    if (typeof fit !== 'string') lastFit = fit;
    const jobs = evenly(
      byTime.filter((job) => monthOf(job) === month),
      mostJobs,
    );
    return { ...scoreMonth(month, known, jobs, then, fit, byRule), basis };
  });
}

/** At most so many of the jobs, evenly spaced; no choice looks at how they came out. */
function evenly(jobs: readonly FinishedJob[], most: number): readonly FinishedJob[] {
  if (jobs.length <= most) return jobs;
  return Array.from({ length: most }, (_, i) => jobs[Math.floor(((i + 0.5) * jobs.length) / most)]);
}

/** The fingerprint of everything up to a month's end, with the lists, the rules and the program's version. */
function monthBases(
  byTime: readonly FinishedJob[],
  { technicians, machines, rules, version }: ShopHistory,
  monthOf: (job: FinishedJob) => string,
): (month: string) => string {
  const upTo = new Map<string, string>();
  let print = withText(noText, JSON.stringify([version, technicians, machines, rules]));
  for (const job of byTime) {
    print = withText(print, JSON.stringify(job));
    upTo.set(monthOf(job), fingerprintText(print));
  }
  return (month) => upTo.get(month) ?? '';
}

function fitted({ records, technicians, machines, rules, now }: ShopHistory, warmStart?: ShopFit): ShopFit | string {
  const result = fitShop({ records, technicians, machines, rules, now, warmStart });
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
  const shop = { ...history, rules: ruleTable(history.rules) };
  const yardsticks = known.length < 5 ? undefined : hoursYardsticks(known, shop);
  const models = emptyModels();
  for (const job of jobs) {
    const rule = scoreJob(byRule, job, history);
    scoreJob(fit, job, history).forEach((own, i) => {
      const hours = own.model === 'labour' ? yardsticks : undefined;
      models[own.model] = added(models[own.model], own, rule[i].score, hours?.soilMeans(job), hours?.leastSquares(job));
    });
  }
  return { ...about, failed: null, models };
}

function emptyModels(): Record<ModelName, ModelMonth> {
  const [passes, labour, water, drying] = modelNames.map(() => empty);
  return { passes, labour, water, drying };
}

const empty: ModelMonth = {
  n: 0,
  score: 0,
  ruleOfThumb: 0,
  gap: 0,
  gapSquares: 0,
  soilMeans: null,
  leastSquares: null,
  inside50: 0,
  inside80: 0,
  inside90: 0,
  logError: 0,
  logErrorSquares: 0,
  nLogErrors: 0,
};

function added(
  to: ModelMonth,
  own: OutcomeScore,
  rule: number,
  soilMeans: number | undefined,
  line: number | undefined,
): ModelMonth {
  const gap = own.score - rule;
  const exact = Number.isFinite(own.logError);
  const plus = (sum: number | null, value: number | undefined) => (value === undefined ? sum : (sum ?? 0) + value);
  return {
    n: to.n + 1,
    score: to.score + own.score,
    ruleOfThumb: to.ruleOfThumb + rule,
    gap: to.gap + gap,
    gapSquares: to.gapSquares + gap * gap,
    soilMeans: plus(to.soilMeans, soilMeans),
    leastSquares: plus(to.leastSquares, line),
    inside50: to.inside50 + own.inside50,
    inside80: to.inside80 + own.inside80,
    inside90: to.inside90 + own.inside90,
    logError: to.logError + (exact ? own.logError : 0),
    logErrorSquares: to.logErrorSquares + (exact ? own.logError ** 2 : 0),
    nLogErrors: to.nLogErrors + (exact ? 1 : 0),
  };
}

/** All months of one model in one. */
export function total(months: readonly MonthScores[], model: ModelName): ModelMonth {
  return months
    .map(({ models }) => models[model])
    .reduce((a, b) => {
      const both = (x: number | null, y: number | null) => (x === null && y === null ? null : (x ?? 0) + (y ?? 0));
      const sum = Object.fromEntries(
        Object.keys(empty).map((name) => [name, both(a[name as keyof ModelMonth], b[name as keyof ModelMonth])]),
      );
      return { ...empty, ...sum };
    }, empty);
}
