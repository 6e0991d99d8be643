import type { FinishedJob } from '../../domain/record.ts';
import type { LevelChanges } from '../../models/layout.ts';
import { modelNames } from '../../models/shop-fit.ts';
import { type Fingerprint, fingerprintText, noText, withText } from './fingerprint.ts';
import type { Unread } from './unread.ts';

/** Raised whenever the same records would be scored otherwise, or scores are kept in another form: what is kept of before is then not taken over. */
export const scoresVersion = 11;

export function monthOf({ finishedAt }: FinishedJob): string {
  return new Date(finishedAt).toISOString().slice(0, 7);
}

/**
 * What a month's scores are made from, as one fingerprint: everything up to its end, what is believed of it, the changes that its forecasts
 * reckon with, and what `about` says of the rest (lists, rules, the program's versions).
 */
export function monthBases(
  byTime: readonly FinishedJob[],
  unread: Unread | undefined,
  about: unknown,
): (month: string, changes: LevelChanges) => string {
  const upTo = new Map<string, Fingerprint>();
  let print = withText(noText, JSON.stringify([scoresVersion, about]));
  for (const job of byTime) {
    const doubted = modelNames.filter((model) => unread?.[model].has(job.ref));
    print = withText(print, JSON.stringify([job, doubted]));
    upTo.set(monthOf(job), print);
  }
  return (month, changes) => {
    const records = upTo.get(month) ?? noText;
    const isPlain = Object.keys(changes).length === 0;
    return fingerprintText(isPlain ? records : withText(records, JSON.stringify(changes)));
  };
}
