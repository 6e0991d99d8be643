import type { Machine, Technician } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { typicalEvidence } from '../../models/estimate/typical-evidence.ts';
import { evenly } from '../../models/evenly.ts';
import { fitShop, type ShopFitResult } from '../../models/fit.ts';
import type { LevelChanges } from '../../models/layout.ts';
import type { RuleOverrides } from '../../models/rule-table.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { type KnownChange, knownAfter, levelChanges, monthAfter } from '../known-changes.ts';
import { nightBudget } from './due-months.ts';
import { monthBases, monthOf } from './month-basis.ts';
import { emptyModels, type MonthScores } from './month-scores.ts';
import { scoreMonth } from './score-month.ts';
import { type Unread, unreadOf } from './unread.ts';

interface ShopHistory {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules: RuleOverrides;
  /** Of the shop's clock; UTC where absent. */
  readonly timeZone?: string | undefined;
  /** Refs of records that are read however odd they are. */
  readonly confirmed?: readonly string[] | undefined;
  /**
   * Today's fit. What comes of a record that it does not believe is held against no forecast. The searches for the fits of before begin at its
   * maximum, which saves time and moves no figure.
   */
  readonly today?: ShopFit | undefined;
  /** Scores of an earlier run: a month whose basis is the same is taken over. */
  readonly formerMonths?: readonly MonthScores[] | undefined;
  /** Lasting changes that the last run found: those from months that are no longer scored stand, the others as long as the same is found. */
  readonly formerChanges?: readonly KnownChange[] | undefined;
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

/** Scores of the last months, and the lasting changes that they show. */
interface ScoredShop {
  readonly months: readonly MonthScores[];
  readonly changes: readonly KnownChange[];
}

/**
 * Rolling origin: at the start of each of the last twelve months with jobs a fit is made of what was known then, and that month's finished
 * jobs are forecast and scored, against the rule of thumb and against plain yardsticks on the same jobs. What was known then are the records
 * of before and the changes that the scores of the months before had shown, so that scores made in one go are those made month by month.
 */
export function scoreShop(history: ShopHistory): ScoredShop {
  const { rules, version, timeZone, formerChanges = [] } = history;
  const byTime = [...history.records].sort((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt));
  const months = monthsToScore(byTime);
  const unread = history.today && unreadOf(history.today);
  const basisOf = monthBases(byTime, unread, history, [version, rules, timeZone]);
  const former = new Map((history.formerMonths ?? []).map((month) => [month.basis, month]));
  const score = monthScorer(byTime, { ...history, unread });
  const hasTime = nightBudget(byTime.length);
  const starts = startsOf(byTime);
  const scored: MonthScores[] = [];
  let changes: readonly KnownChange[] = formerChanges.filter(({ knownFrom }) => knownFrom <= (months[0] ?? ''));
  for (const month of months) {
    const known = levelChanges(changes);
    const basis = basisOf(month, known);
    const kept = former.get(basis);
    const jobsKnown = starts.get(month) ?? 0;
    if (kept === undefined && !hasTime(jobsKnown)) break;
    scored.push(kept ?? { ...score(month, jobsKnown, known), basis });
    changes = knownAfter(scored, changes, formerChanges);
  }
  return { months: scored, changes: [...changes, ...notReached(months, scored, formerChanges)] };
}

/** Changes of an earlier run that the months scored tonight do not reach up to: they stand until they do. */
function notReached(
  months: readonly string[],
  scored: readonly MonthScores[],
  former: readonly KnownChange[],
): readonly KnownChange[] {
  const last = scored.at(-1);
  if (last === undefined || scored.length === months.length) return [];
  return former.filter(({ knownFrom }) => knownFrom > monthAfter(last.month));
}

type FreshScores = Omit<MonthScores, 'basis'>;

/** Scores one month after the other: each month's search begins where that of the month before it ended. */
function monthScorer(
  byTime: readonly FinishedJob[],
  {
    technicians,
    machines,
    rules,
    timeZone,
    confirmed,
    today,
    unread,
  }: ShopHistory & { readonly unread: Unread | undefined },
): (month: string, jobsKnown: number, changes: LevelChanges) => FreshScores {
  const shop = { technicians, machines, rules, timeZone, confirmed };
  let byRule: ShopFitResult | undefined;
  let warmStart = today;
  return (month, jobsKnown, changes) => {
    byRule ??= fitShop({ ...shop, records: [], now: new Date(0) });
    const known = byTime.slice(0, jobsKnown);
    const ofMonth = byTime.slice(jobsKnown).filter((job) => monthOf(job) === month);
    const jobs = evenly(ofMonth, mostJobs);
    const now = new Date(`${month}-01T00:00:00Z`);
    const integrate = jobsKnown < manyKnown;
    const then = fitShop({ ...shop, records: known, now, warmStart, integrate, changes });
    if (then.status === 'fitted') warmStart = then.fit;
    const about = { month, jobsKnown, jobs: jobs.length };
    if (then.status === 'failed' || byRule.status === 'failed')
      return { ...about, failed: inWords(then) || inWords(byRule), models: emptyModels() };
    const models = scoreMonth({ known, jobs, now, technicians, machines, unread }, then, byRule.fit);
    return { ...about, failed: null, models, evidence: typicalEvidence(then.fit, { now, technicians, machines }) };
  };
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
