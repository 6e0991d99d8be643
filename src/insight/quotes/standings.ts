import { binomialPValue } from '../../inference/scores-calibration.ts';
import type { Range } from '../range.ts';
import type { KindFigures } from './overruns.ts';

/** Against the share of jobs that may run over; `unclear` where chance can do it, or the jobs are too few. */
export type QuoteStanding = 'too low' | 'too high' | 'unclear';

export interface KindOverrun extends KindFigures {
  readonly standing: QuoteStanding;
  readonly says: string;
}

/** Where one in five may run over, one of one does so in every fifth kind that is quoted right, and its range lies above a fifth. */
const fewestJobs = 3;

/** Of the kinds that are named, so many are for nothing on average. */
const namedForNothing = 0.1;

/** Judged by how often jobs ran over, not by typical hours: a quote that is right runs over now and then, and typically does not. */
export function quoteStanding({ p05, p95 }: Range, risk: number, jobs: number): QuoteStanding {
  if (jobs < fewestJobs) return 'unclear';
  if (p05 > risk) return 'too low';
  return p95 < risk ? 'too high' : 'unclear';
}

/**
 * The kinds, each with its standing. Jobs are sorted in several ways into twenty kinds and more, of which some stand out by chance in nearly every
 * shop: so all are judged together, by how many of those named would be named for nothing. A kind that all jobs are of stands as they do.
 *
 * **Source** Benjamini and Hochberg, J. R. Stat. Soc. B 57 (1995) 289.
 * **Checked** tests/insight/quotes.test.ts
 */
export function judgedTogether<By extends string>(
  byKind: Readonly<Record<By, readonly KindFigures[]>>,
  risk: number,
): Readonly<Record<By, readonly KindOverrun[]>> {
  const sorted = Object.entries<readonly KindFigures[]>(byKind);
  const chances = sorted.flatMap(([, kinds]) =>
    kinds.length < 2 ? [] : kinds.filter(({ jobs }) => jobs >= fewestJobs).map((one) => chanceOf(one, risk)),
  );
  const limit = limitOf(chances);
  const standingOf = (one: KindFigures, isAll: boolean): QuoteStanding => {
    if (isAll) return quoteStanding(one.shareOver, risk, one.jobs);
    if (one.jobs < fewestJobs || chanceOf(one, risk) > limit) return 'unclear';
    return one.over > risk * one.jobs ? 'too low' : 'too high';
  };
  const judged = sorted.map(([by, kinds]) => [
    by,
    kinds.map((one) => {
      const standing = standingOf(one, kinds.length < 2);
      return { ...one, standing, says: sentence(one, standing, risk) };
    }),
  ]);
  return Object.fromEntries(judged) as Record<By, readonly KindOverrun[]>; // border: fromEntries forgets its keys
}

/** Chance of so many or so few over where the quotes are right. */
function chanceOf({ over, jobs }: KindFigures, risk: number): number {
  return binomialPValue(over, jobs, risk);
}

/** The largest chance that is within its part of what may be named for nothing; 0 where none is. */
function limitOf(chances: readonly number[]): number {
  const ascending = chances.toSorted((a, b) => a - b);
  return ascending.findLast((chance, i) => chance <= (namedForNothing * (i + 1)) / ascending.length) ?? 0;
}

function sentence(
  { kind, jobs, over, takenOverQuoted, medianQuotedHours, hoursToQuote }: KindFigures,
  standing: QuoteStanding,
  risk: number,
): string {
  const { p05, p50, p95 } = takenOverQuoted;
  const so = standing === 'unclear' ? 'about right, as far as can be told' : standing;
  const few = jobs < 8 ? ' Few jobs: this leans on the other kinds.' : '';
  return `${kind}: is quoted ${so}. ${over} of ${jobs} ran over; typically ${p50.toFixed(2)} times the quoted hours (90 % range ${p05.toFixed(2)} to ${p95.toFixed(2)}). Where ${medianQuotedHours.toFixed(1)} h was quoted, ${hoursToQuote.toFixed(1)} h would run over in ${Math.round(100 * risk)} of 100.${few}`;
}
