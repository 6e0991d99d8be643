import type { Machine, Technician } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import type { LevelChanges } from '../../models/layout.ts';
import { modelNames } from '../../models/shop-fit.ts';
import { gradeOf } from '../../models/shop-view.ts';
import { type Fingerprint, fingerprintText, noText, withText } from './fingerprint.ts';
import type { Unread } from './unread.ts';

/** Raised whenever the same records would be scored otherwise, or scores are kept in another form: what is kept of before is then not taken over. */
export const scoresVersion = 28;

export function monthOf({ finishedAt }: FinishedJob): string {
  return new Date(finishedAt).toISOString().slice(0, 7);
}

/** What of a shop bears on its months' scores, beside the records. */
interface ScoredShopNow {
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly confirmed?: readonly string[] | undefined;
}

/**
 * What a month's scores are made from, as one fingerprint: everything up to its end, what is believed of what came in it, the changes that its
 * forecasts reckon with, and what `about` says of the rest (rules, the program's versions). What no forecast reads is left out, for a machine
 * renamed, or a comeback of long ago, is no reason to score a year anew, which takes a large shop several nights.
 */
export function monthBases(
  byTime: readonly FinishedJob[],
  unread: Unread | undefined,
  { technicians, machines, confirmed = [] }: ScoredShopNow,
  about: unknown,
): (month: string, changes: LevelChanges) => string {
  const upTo = new Map<string, Fingerprint>();
  const isConfirmed = new Set(confirmed);
  const goneBy = (day: string) =>
    [...technicians, ...machines].flatMap(({ key, until }) => (until !== undefined && until < day ? key : []));
  const isListed = new Set(technicians.map(({ key }) => key));
  // Of a month itself alone: what tonight's fit makes of a record of before is nothing that was known then.
  const doubts = new Map<string, unknown[]>();
  let print = withText(noText, JSON.stringify([scoresVersion, about]));
  for (const job of byTime) {
    const doubted = modelNames.filter((model) => unread?.[model].has(job.ref));
    const people = job.labour.map(({ technician }) => isListed.has(technician));
    const day = new Date(job.finishedAt).toISOString().slice(0, 10);
    if (doubted.length > 0) doubts.set(monthOf(job), [...(doubts.get(monthOf(job)) ?? []), [job.ref, doubted]]);
    const reading = [isConfirmed.has(job.ref), people, gradeOf(machines, job.extractor), goneBy(day)];
    print = withText(print, JSON.stringify([asForecast(job), ...reading]));
    upTo.set(monthOf(job), print);
  }
  return (month, changes) => {
    const records = withText(
      upTo.get(month) ?? noText,
      JSON.stringify([goneBy(`${month}-01`), doubts.get(month) ?? []]),
    );
    const isPlain = Object.keys(changes).length === 0;
    return fingerprintText(isPlain ? records : withText(records, JSON.stringify(changes)));
  };
}

/** Without what is of no use to any forecast: what was quoted, what the customer came back with, and the note. */
function asForecast({ quoted: _quoted, outcome: _outcome, note: _note, ...read }: FinishedJob) {
  return read;
}
