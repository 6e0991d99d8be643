import { normalProbability } from '../inference/normal.ts';

/** One month's mean residual: of `n` jobs, with the squares about their mean. */
export interface MonthMean {
  readonly month: string;
  readonly n: number;
  readonly mean: number;
  readonly squares: number;
}

/** What months are measured against. */
export interface OrdinaryMonths {
  /** Months differ by this for no lasting reason, beyond what so few jobs leave open: a standard deviation. */
  readonly spread: number;
  /** A change, where there is one, is of about this size: a standard deviation about none. */
  readonly changeSd: number;
}

/** The stretch of months that stands out most from the others: months `from` to `to`, the latter not included. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  /** Its mean less that of the others. */
  readonly shift: number;
  /** Chance of so strong a stretch where nothing changed. */
  readonly pValue: number;
  /** By month: chance that the change began with it, if there was one. */
  readonly began: readonly number[];
}

/**
 * Scans every stretch of months for the one that stands out most from the others, being farther from its forecasts than they. A stretch has an
 * end of its own since each month's forecasts learn from the months before it: a lasting change shows until it is learnt.
 * Its p-value is multiplied by the number of stretches looked at. When it began is told by Bayes' rule over all stretches, each as
 * likely as the other before, its size normal about none.
 *
 * **Returns** undefined of fewer than two months, and where no stretch is farther off than its others.
 * **Source** the scan for a segment: Olshen, Venkatraman, Lucito and Wigler, Biostatistics 5 (2004) 557; Bonferroni's bound instead of
 * permutations. The chances: Barry and Hartigan, J. Am. Stat. Assoc. 88 (1993) 309, for a single segment.
 * **Checked** tests/insight/drift.test.ts, tests/slow/drift.test.ts
 */
export function strongestStretch(months: readonly MonthMean[], ordinary: OrdinaryMonths): Stretch | undefined {
  const all = allStretches(months, ordinary);
  // Else one odd month early on would make a stretch of all that follow, though they came as forecast.
  const stretches = all.filter(({ inside, others }) => Math.abs(inside) >= Math.abs(others));
  if (stretches.length === 0) return undefined;
  const best = stretches.reduce((most, one) => (one.z > most.z ? one : most));
  const began = new Array<number>(months.length).fill(0);
  for (const { from, weight } of stretches) began[from] += weight;
  const sum = began.reduce((total, weight) => total + weight, 0);
  return {
    from: best.from,
    to: best.to,
    shift: best.shift,
    pValue: Math.min(1, 2 * normalProbability(-best.z) * all.length),
    began: began.map((weight) => weight / sum),
  };
}

/** Every stretch but those that begin with the first month: of two different halves, the later one is what changed. */
function allStretches(months: readonly MonthMean[], { spread, changeSd }: OrdinaryMonths) {
  // Within months, so that a change between them does not hide itself.
  const degrees = months.reduce((sum, { n }) => sum + n - 1, 0);
  const variance = months.reduce((sum, { squares }) => sum + squares, 0) / Math.max(1, degrees);
  const weightOf = ({ n }: MonthMean) => 1 / (spread ** 2 + variance / n);
  const starts = Array.from({ length: Math.max(0, months.length - 1) }, (_, i) => i + 1);
  return starts.flatMap((from) =>
    Array.from({ length: months.length - from }, (_, i) => {
      const to = from + i + 1;
      const inside = weighted(months.slice(from, to), weightOf);
      const others = weighted([...months.slice(0, from), ...months.slice(to)], weightOf);
      const shift = inside.mean - others.mean;
      const shiftVariance = 1 / inside.weight + 1 / others.weight;
      const z = Math.abs(shift) / Math.sqrt(shiftVariance);
      const part = changeSd ** 2 / (changeSd ** 2 + shiftVariance);
      return {
        from,
        to,
        inside: inside.mean,
        others: others.mean,
        shift,
        z,
        weight: Math.sqrt(1 - part) * Math.exp(0.5 * part * z * z),
      };
    }),
  );
}

function weighted(months: readonly MonthMean[], weightOf: (month: MonthMean) => number) {
  const weight = months.reduce((sum, month) => sum + weightOf(month), 0);
  return { weight, mean: months.reduce((sum, month) => sum + weightOf(month) * month.mean, 0) / weight };
}
