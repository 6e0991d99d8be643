import type { FinishedJob } from '../../domain/record.ts';
import { actualHours, ranOver } from '../actual-hours.ts';
import { type Range, shareRange } from '../range.ts';

/** What of a stored estimate is held against the finished job. */
export interface StoredAnswer {
  readonly id: string;
  readonly labourHours: { readonly p10: number; readonly p90: number };
  readonly quote: { readonly hours: number };
  readonly readyBy: { readonly p50: string; readonly p80: string; readonly p90: string } | null;
}

/** Estimates made here that a finished job names. */
export interface FollowedEstimates {
  readonly jobs: number;
  /** Jobs that name an estimate which is not among those made here: a wrong id, or a record that came from elsewhere. */
  readonly notMadeHere: number;
  readonly overQuote: number;
  readonly insideEightOfTen: number;
  readonly shareInside: Range;
  readonly returnTimes: ReturnTimes;
  readonly says: string;
}

/** Ready-by times (as likely as not to be later than p50, one in ten later than p90) against the first check that found the work dry. */
export interface ReturnTimes {
  readonly jobs: number;
  readonly dryByP50: number;
  readonly dryByP90: number;
  readonly shareDryByP90: Range;
}

export function followEstimates(
  records: readonly FinishedJob[],
  answers: ReadonlyMap<string, StoredAnswer>,
): FollowedEstimates {
  const naming = records.filter(({ quoted }) => quoted?.estimate !== undefined);
  const followed = naming.flatMap((job) => {
    const answer = answers.get(job.quoted?.estimate?.toLowerCase() ?? '');
    return answer === undefined ? [] : [{ job, answer, hours: actualHours(job) }];
  });
  const overQuote = followed.filter(({ hours, answer }) => ranOver(hours, answer.quote.hours)).length;
  const inside = followed.filter(({ hours, answer: { labourHours: h } }) => hours >= h.p10 && hours <= h.p90).length;
  const notMadeHere = naming.length - followed.length;
  const says =
    followed.length === 0
      ? `No finished job names an estimate${notMadeHere === 0 ? '' : ' made here'} yet: put its id in quoted.estimate.`
      : `${inside} of ${followed.length} jobs took what their estimate's 8-in-10 range said; ${overQuote} ran over the quoted hours.`;
  return {
    jobs: followed.length,
    notMadeHere,
    overQuote,
    insideEightOfTen: inside,
    shareInside: shareRange(inside, followed.length),
    returnTimes: returnTimes(followed),
    says: notMadeHere === 0 ? says : `${says} ${notMadeHereWords(notMadeHere)}`,
  };
}

function notMadeHereWords(jobs: number): string {
  return jobs === 1
    ? '1 job names an estimate that was not made here: its id is wrong, or the record comes from elsewhere.'
    : `${jobs} jobs name estimates that were not made here: their ids are wrong, or the records come from elsewhere.`;
}

function returnTimes(followed: readonly { readonly job: FinishedJob; readonly answer: StoredAnswer }[]): ReturnTimes {
  const known = followed.flatMap(({ job, answer: { readyBy } }) => {
    const dryAfter = firstDry(job);
    if (readyBy === null || dryAfter === undefined) return [];
    return [{ dryAt: Date.parse(job.finishedAt) + dryAfter * 3_600_000, readyBy }];
  });
  const by = (time: 'p50' | 'p90') => known.filter(({ dryAt, readyBy }) => dryAt <= Date.parse(readyBy[time])).length;
  return {
    jobs: known.length,
    dryByP50: by('p50'),
    dryByP90: by('p90'),
    shareDryByP90: shareRange(by('p90'), known.length),
  };
}

function firstDry({ drying }: FinishedJob): number | undefined {
  const dry = (drying?.checks ?? []).filter(({ dry }) => dry).map(({ hours }) => hours);
  return dry.length === 0 ? undefined : Math.min(...dry);
}
