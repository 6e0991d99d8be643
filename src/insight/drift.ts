import type { ModelName } from '../domain/doubts.ts';
import { normalProbability } from '../inference/normal.ts';
import type { MonthScores } from './scoring/month-scores.ts';

/** A stretch of months in which jobs came out otherwise than forecast, all in one direction. */
export interface Drift {
  readonly model: DriftModel;
  /** YYYY-MM, the first and the last month of it. */
  readonly since: string;
  readonly until: string;
  /** It reaches into the latest month. */
  readonly goesOn: boolean;
  readonly outcomes: number;
  /** What came over what was forecast, in these months against the others. */
  readonly factor: number;
  /** Chance of so strong a stretch in any figure where nothing changed. */
  readonly pValue: number;
  readonly says: string;
}

/** The figures whose outcomes are known closely enough for a residual. */
type DriftModel = Extract<ModelName, 'labour' | 'water'>;
const driftModels: readonly DriftModel[] = ['labour', 'water'];

interface MonthMean {
  readonly month: string;
  readonly n: number;
  readonly mean: number;
  readonly squares: number;
}

/** A month counts where its mean says something, and where its fit knew enough not to be off by itself. */
const fewestOutcomes = 4;
const fewestKnown = 30;
const fewestMonths = 4;
/** One shop in a hundred is alarmed for nothing. */
const alarmP = 0.01;
/** Months differ by this for no lasting reason: the weather, the fit's own error. Standard deviation of the logarithm. */
const ordinarySpread: Readonly<Record<DriftModel, number>> = { labour: 0.03, water: 0.05 };

/**
 * Finds, by figure, the stretch of months whose mean residual stands out most from the other months', where it stands out beyond chance:
 * its p-value is multiplied by the number of stretches and figures looked at. A stretch has an end of its own since each month's fit learns
 * from the months before it: a lasting change shows until it is learnt.
 *
 * **Source** the scan for a segment: Olshen, Venkatraman, Lucito and Wigler, Biostatistics 5 (2004) 557; Bonferroni's bound instead of permutations.
 * **Checked** tests/insight/drift.test.ts
 */
export function drifts(months: readonly MonthScores[]): readonly Drift[] {
  return driftModels.flatMap((model) => {
    const strongest = strongestStretch(usable(months, model), model);
    return strongest === undefined || strongest.pValue > alarmP ? [] : [strongest];
  });
}

function usable(months: readonly MonthScores[], model: DriftModel): readonly MonthMean[] {
  return months.flatMap(({ month, jobsKnown, models }) => {
    const { n, residual, residualSquares } = models[model];
    if (n < fewestOutcomes || jobsKnown < fewestKnown) return [];
    return [{ month, n, mean: residual / n, squares: Math.max(0, residualSquares - residual ** 2 / n) }];
  });
}

function strongestStretch(months: readonly MonthMean[], model: DriftModel): Drift | undefined {
  if (months.length < fewestMonths) return undefined;
  // Within months, so that a change between them does not hide itself.
  const degrees = months.reduce((sum, { n }) => sum + n - 1, 0);
  const variance = months.reduce((sum, { squares }) => sum + squares, 0) / degrees;
  const weightOf = ({ n }: MonthMean) => 1 / (ordinarySpread[model] ** 2 + variance / n);
  const stretches = allStretches(months.length).map(({ from, to }) => {
    const inside = weighted(months.slice(from, to), weightOf);
    const others = weighted([...months.slice(0, from), ...months.slice(to)], weightOf);
    const shift = inside.mean - others.mean;
    return { from, to, shift, z: Math.abs(shift) / Math.sqrt(1 / inside.weight + 1 / others.weight) };
  });
  const best = stretches.reduce((most, one) => (one.z > most.z ? one : most));
  const pValue = Math.min(1, 2 * normalProbability(-best.z) * stretches.length * driftModels.length);
  return told(model, months, best, pValue);
}

/** Every stretch but those that begin with the first month: of two different halves, the later one is what changed. */
function allStretches(count: number): readonly { readonly from: number; readonly to: number }[] {
  const starts = Array.from({ length: count - 1 }, (_, i) => i + 1);
  return starts.flatMap((from) => Array.from({ length: count - from }, (_, i) => ({ from, to: from + i + 1 })));
}

function weighted(months: readonly MonthMean[], weightOf: (month: MonthMean) => number) {
  const weight = months.reduce((sum, month) => sum + weightOf(month), 0);
  return { weight, mean: months.reduce((sum, month) => sum + weightOf(month) * month.mean, 0) / weight };
}

function told(
  model: DriftModel,
  months: readonly MonthMean[],
  { from, to, shift }: { readonly from: number; readonly to: number; readonly shift: number },
  pValue: number,
): Drift {
  const [since, until] = [months[from].month, months[to - 1].month];
  const goesOn = to === months.length;
  const outcomes = months.slice(from, to).reduce((sum, { n }) => sum + n, 0);
  const factor = Math.exp(shift);
  const percent = Math.round(100 * Math.abs(factor - 1));
  const what =
    model === 'labour'
      ? `jobs took ${percent} % ${factor > 1 ? 'longer' : 'less'} than forecast`
      : `${percent} % ${factor > 1 ? 'more' : 'less'} water was left in than forecast`;
  const when = goesOn ? `Since ${since}` : since === until ? `In ${since}` : `From ${since} to ${until}`;
  const after = goesOn ? 'It goes on.' : 'Since then the forecasts have followed, or it has passed.';
  const says = `${when} ${what}, against the other months (${outcomes} jobs). ${after} Something changed: a product, a machine, people, the kind of work, the season.`;
  return { model, since, until, goesOn, outcomes, factor, pValue, says };
}
