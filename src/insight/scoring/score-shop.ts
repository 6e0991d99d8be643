import type { Machine, Technician } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { typicalEvidence } from '../../models/estimate/typical-evidence.ts';
import { fitShop, type ShopFitResult } from '../../models/fit.ts';
import type { RuleOverrides } from '../../models/rule-table.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { latestWithin } from './due-months.ts';
import { evenly } from './evenly.ts';
import { monthBases, monthOf } from './month-basis.ts';
import { emptyModels, type MonthScores } from './month-scores.ts';
import { scoreMonth } from './score-month.ts';
import { type Unread, unreadOf } from './unread.ts';

export interface ShopHistory {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules: RuleOverrides;
  /** Refs of records that are read however odd they are. */
  readonly confirmed?: readonly string[] | undefined;
  /**
   * Today's fit. What comes of a record that it does not believe is held against no forecast. The searches for the fits of before begin at its
   * maximum, which saves time and moves no figure.
   */
  readonly today?: ShopFit | undefined;
  /** Scores of an earlier run: a month whose basis is the same is taken over. */
  readonly formerMonths?: readonly MonthScores[] | undefined;
  /** Changes whenever the same records would be fitted otherwise: the program's own version. */
  readonly version: number;
}

const mostMonths = 12;
/** Jobs forecast a month, evenly over it: enough to judge by, and a large shop's first night does not wait for thousands. */
const mostJobs = 30;
/**
 * From so many jobs on the spreads of a month's fit are taken as known: that saves two thirds of its time and moves scores by some
 * tenths of a per cent and coverage by less than one in a hundred, see tests/bench/plain-spreads.ts.
 */
const manyKnown = 400;

/**
 * Rolling origin: at the start of each of the last twelve months with jobs a fit is made of what was known then, and that month's finished
 * jobs are forecast and scored, against the rule of thumb and against plain yardsticks on the same jobs.
 */
export function scoreShop(history: ShopHistory): readonly MonthScores[] {
  const { technicians, machines, rules, confirmed, version } = history;
  const byTime = [...history.records].sort((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt));
  const starts = startsOf(byTime);
  const months = monthsToScore(byTime);
  const unread = history.today && unreadOf(history.today);
  const basisOf = monthBases(byTime, unread, [version, technicians, machines, rules, confirmed ?? []]);
  const former = new Map((history.formerMonths ?? []).map((month) => [month.basis, month]));
  const isKept = (month: string) => former.has(basisOf(month));
  const due = latestWithin(months, isKept, (month) => starts.get(month) ?? 0);
  const fresh = scoreDue(due, byTime, starts, { ...history, unread });
  return months.flatMap((month) => {
    const basis = basisOf(month);
    const scored = fresh.get(month);
    return former.get(basis) ?? (scored === undefined ? [] : { ...scored, basis });
  });
}

type FreshScores = Omit<MonthScores, 'basis'>;

/** @param due the latest first: each month's search begins where that of the month after it ended */
function scoreDue(
  due: readonly string[],
  byTime: readonly FinishedJob[],
  starts: ReadonlyMap<string, number>,
  { technicians, machines, rules, confirmed, today, unread }: ShopHistory & { readonly unread: Unread | undefined },
): ReadonlyMap<string, FreshScores> {
  const fresh = new Map<string, FreshScores>();
  if (due.length === 0) return fresh;
  const shop = { technicians, machines, rules, confirmed };
  const byRule = fitShop({ ...shop, records: [], now: new Date(0) });
  let warmStart = today;
  for (const month of due) {
    const known = byTime.slice(0, starts.get(month));
    const ofMonth = byTime.slice(known.length).filter((job) => monthOf(job) === month);
    const jobs = evenly(ofMonth, mostJobs);
    const now = new Date(`${month}-01T00:00:00Z`);
    const integrate = known.length < manyKnown;
    const then = fitShop({ ...shop, records: known, now, warmStart, integrate });
    if (then.status === 'fitted') warmStart = then.fit;
    const about = { month, jobsKnown: known.length, jobs: jobs.length };
    if (then.status === 'failed' || byRule.status === 'failed') {
      fresh.set(month, { ...about, failed: inWords(then) || inWords(byRule), models: emptyModels() });
    } else {
      const models = scoreMonth({ known, jobs, now, technicians, machines, unread }, then, byRule.fit);
      const evidence = typicalEvidence(then.fit, { now, technicians, machines });
      fresh.set(month, { ...about, failed: null, models, evidence });
    }
  }
  return fresh;
}

/** The last months with jobs, of which there are at most twelve. */
export function monthsToScore(records: readonly FinishedJob[]): readonly string[] {
  return [...new Set(records.map(monthOf))].sort().slice(-mostMonths);
}

/** How many jobs come before each month with jobs. */
function startsOf(byTime: readonly FinishedJob[]): ReadonlyMap<string, number> {
  const starts = new Map<string, number>();
  byTime.forEach((job, i) => {
    const month = monthOf(job);
    if (!starts.has(month)) starts.set(month, i);
  });
  return starts;
}

function inWords(result: ShopFitResult): string {
  return result.status === 'failed' ? result.failures.map(({ message }) => message).join(' ') : '';
}
