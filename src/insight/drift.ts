import type { ModelName } from '../domain/doubts.ts';
import { modelNames } from '../models/shop-fit.ts';
import { type MonthMean, type OrdinaryMonths, type Stretch, strongestStretch } from './change-month.ts';
import type { MonthScores } from './scoring/month-scores.ts';

/** A stretch of months in which jobs came out otherwise than forecast, all in one direction. */
export interface Drift {
  readonly model: ModelName;
  /** YYYY-MM, the first and the last month of it. */
  readonly since: string;
  readonly until: string;
  /** It reaches into the latest month. */
  readonly goesOn: boolean;
  readonly outcomes: number;
  /** The months in one of which it began, nine times in ten, and the chance of each. */
  readonly began: readonly { readonly month: string; readonly chance: number }[];
  /** What came against what was forecast, in these months against the others: of passes in passes, else on the log scale. */
  readonly shift: number;
  /** The same as a factor; null of passes. Of water and drying it is a least one, for tanks and checks leave it open. */
  readonly factor: number | null;
  /** Chance of so strong a stretch in any figure where nothing changed. */
  readonly pValue: number;
  readonly says: string;
}

/** A month counts where its mean says something, and where its fit knew enough not to be off by itself. */
const fewestOutcomes = 4;
const fewestKnown = 30;
const fewestMonths = 4;
/** One shop in a hundred is alarmed for nothing. */
const alarmP = 0.01;
const sureOfMonth = 0.9;
/** How far months differ for no lasting reason: the weather, the fit's own error. Judged from shops in which nothing changed. */
const ordinary: Readonly<Record<ModelName, OrdinaryMonths>> = {
  passes: { spread: 0.05, changeSd: 0.5 },
  labour: { spread: 0.03, changeSd: 0.3 },
  water: { spread: 0.05, changeSd: 0.3 },
  drying: { spread: 0.05, changeSd: 0.3 },
};

/**
 * Finds, by figure, the stretch of months whose mean residual stands out most from the other months', where it stands out beyond chance: its
 * p-value is multiplied by the number of stretches and figures looked at.
 *
 * **Checked** tests/insight/drift.test.ts; how often it cries for nothing, and whether the months hold: tests/slow/drift.test.ts
 */
export function drifts(months: readonly MonthScores[]): readonly Drift[] {
  return modelNames.flatMap((model) => {
    const usableMonths = usable(months, model);
    if (usableMonths.length < fewestMonths) return [];
    const stretch = strongestStretch(usableMonths, ordinary[model]);
    const pValue = Math.min(1, (stretch?.pValue ?? 1) * modelNames.length);
    return stretch === undefined || pValue > alarmP ? [] : [told(model, usableMonths, { ...stretch, pValue })];
  });
}

function usable(months: readonly MonthScores[], model: ModelName): readonly MonthMean[] {
  return months.flatMap(({ month, jobsKnown, models }) => {
    const { n, residual, residualSquares } = models[model];
    if (n < fewestOutcomes || jobsKnown < fewestKnown) return [];
    return [{ month, n, mean: residual / n, squares: Math.max(0, residualSquares - residual ** 2 / n) }];
  });
}

function told(model: ModelName, months: readonly MonthMean[], stretch: Stretch): Drift {
  const { from, to, shift, pValue } = stretch;
  const about = {
    model,
    since: months[from].month,
    until: months[to - 1].month,
    goesOn: to === months.length,
    outcomes: months.slice(from, to).reduce((sum, { n }) => sum + n, 0),
    began: likeliest(months, stretch),
    shift,
    factor: model === 'passes' ? null : Math.exp(shift),
    pValue,
  };
  return { ...about, says: driftInWords(about, about.goesOn ? goesOnWords : overWords) };
}

const goesOnWords = 'It goes on.';
const overWords = 'Since then the forecasts have followed, or it has passed.';

/** The likeliest months for the beginning, until they hold nine chances in ten; in order of time. */
function likeliest(months: readonly MonthMean[], { began }: Stretch): Drift['began'] {
  const byChance = began.map((chance, i) => ({ month: months[i].month, chance })).sort((a, b) => b.chance - a.chance);
  let sum = 0;
  const kept = byChance.filter(({ chance }) => {
    const isNeeded = sum < sureOfMonth;
    sum += chance;
    return isNeeded;
  });
  return kept.sort((a, b) => (a.month < b.month ? -1 : 1));
}

/** @param after what came of it since, in a sentence or two */
export function driftInWords(drift: Omit<Drift, 'says'>, after: string): string {
  const { since, until, goesOn, outcomes } = drift;
  const when = goesOn ? `Since ${since}` : since === until ? `In ${since}` : `From ${since} to ${until}`;
  return `${when} ${whatCame(drift)} than forecast, against the other months (${outcomes} jobs). ${beginning(drift)} ${after} Something changed: a product, a machine, people, the kind of work, the season.`;
}

function whatCame({ model, shift }: Pick<Drift, 'model' | 'shift'>): string {
  const isMore = shift > 0;
  const percent = Math.round(100 * Math.abs(Math.exp(shift) - 1));
  const words: Readonly<Record<ModelName, string>> = {
    passes: `a section took ${Number(Math.abs(shift).toPrecision(1))} passes ${isMore ? 'more' : 'fewer'}`,
    labour: `jobs took ${percent} % ${isMore ? 'longer' : 'less'}`,
    water: `at least ${percent} % ${isMore ? 'more' : 'less'} water was left in`,
    drying: `drying took at least ${percent} % ${isMore ? 'longer' : 'less'}`,
  };
  return words[model];
}

function beginning({ since, began }: Pick<Drift, 'since' | 'began'>): string {
  const chance = began.find(({ month }) => month === since)?.chance ?? 0;
  const hundred = Math.min(99, Math.round(100 * chance));
  const [first, last] = [began[0].month, began[began.length - 1].month];
  if (first === last) return `That it began in ${first} is ${hundred} % sure.`;
  return `That it began in ${since} is ${hundred} % sure; nine times in ten it was between ${first} and ${last}.`;
}
