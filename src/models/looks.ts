import type { FinishedJob } from '../domain/record.ts';
import { logGamma } from '../inference/normal.ts';
import { type DryAlone, isDryAlone } from './dry-alone.ts';

/** What is known of looks that nobody noted. */
export interface Looks {
  /**
   * Of the hours of a look that found it dry, with no wet one noted before: the part at which it was still wet. 0: it may have been dry at any
   * time before.
   */
  readonly wetUntil: number;
  /** Whose jobs, and of when: elsewhere wet looks are noted, and nobody had looked where there is none. */
  readonly dryAlone: readonly DryAlone[];
}

export const looksByRule: Looks = { wetUntil: 0, dryAlone: [] };

/** Parts that are tried beside 0: who looks until it is dry looked last at a third to two thirds of the hours. Common practice, no source. */
const tried = [2 / 3, 1 / 2, 1 / 3];

/** Nobody may have been there to look after a working day: a vehicle that stood over the weekend was not seen wet on the Sunday. */
const longestHours = 8;

/** Hours at which a job was wet of which only a look that found it dry is noted; 0 where it may have been dry at any time before. */
export function wetBefore(
  { wetUntil, dryAlone }: Looks,
  job: Pick<FinishedJob, 'finishedAt' | 'labour'>,
  dryHours: number,
): number {
  return wetUntil > 0 && isDryAlone(dryAlone, job) ? wetHours(wetUntil, dryHours) : 0;
}

/**
 * How it was looked at jobs of which nothing is noted but the look that found them dry. Either somebody looked once, at a time that the work
 * had no part in, and anything sooner is possible: then these times lie about one of their own. Or somebody looked until it was dry and noted
 * only that: then they follow what the work lets expect, and lie anywhere, by their logarithm, between when it was dry and a while after. Taken
 * for the first, the second makes a model believe in ever shorter times, as no look that found it wet ever says otherwise.
 *
 * @param dryHours of those looks
 * @param logMarginal of the drying model with so much of them wet; undefined where it cannot be fitted there
 * **Returns** `wetUntil` of the likelier of the two, before any look each as likely as the other.
 * **Checked** tests/models/looks.test.ts
 */
export function likeliestWetUntil(
  dryHours: readonly number[],
  logMarginal: (wetUntil: number) => number | undefined,
): number {
  const evidence = (wetUntil: number, ofTheirTimes: number) => ({
    wetUntil,
    log: (logMarginal(wetUntil) ?? Number.NEGATIVE_INFINITY) + ofTheirTimes,
  });
  const ways = [
    evidence(0, aboutOneOfTheirOwn(dryHours.map(Math.log))),
    ...tried.map((wetUntil) => evidence(wetUntil, anywhereSince(dryHours, wetUntil))),
  ];
  return ways.reduce((best, one) => (one.log > best.log ? one : best)).wetUntil;
}

function anywhereSince(dryHours: readonly number[], wetUntil: number): number {
  return dryHours.reduce((sum, hours) => sum - Math.log(Math.log(hours / wetHours(wetUntil, hours))), 0);
}

function wetHours(wetUntil: number, dryHours: number): number {
  return Math.min(longestHours, wetUntil * dryHours);
}

/** Their mean is some eight hours, known as by a quarter of a look; their spread a half in the logarithm, as by two. Common practice, no source. */
export const usualTime = { mean: Math.log(8), looks: 0.25, variance: 0.25, degrees: 2 };

/**
 * Log density of values that lie about one mean with one spread, both unknown.
 * **Source** A. Gelman et al., Bayesian Data Analysis (2013), section 3.3.
 */
export function aboutOneOfTheirOwn(values: readonly number[]): number {
  const { mean: priorMean, looks, variance, degrees } = usualTime;
  const n = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const before = degrees * variance;
  const after = before + squares + ((looks * n) / (looks + n)) * (mean - priorMean) ** 2;
  return (
    logGamma(0.5 * (degrees + n)) -
    logGamma(0.5 * degrees) +
    0.5 * Math.log(looks / (looks + n)) +
    0.5 * degrees * Math.log(before) -
    0.5 * (degrees + n) * Math.log(after) -
    0.5 * n * Math.log(Math.PI)
  );
}
