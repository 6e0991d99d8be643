import type { ModelName } from '../domain/doubts.ts';
import type { LevelChanges } from '../models/layout.ts';
import { modelNames } from '../models/shop-fit.ts';
import { type Drift, drifts } from './drift.ts';
import type { MonthScores } from './scoring/month-scores.ts';

/** A lasting change that was found, and that is reckoned with from then on. */
export interface KnownChange {
  readonly drift: Drift;
  /** YYYY-MM: the first month whose forecasts could know of it, as it shows in the months before. */
  readonly knownFrom: string;
  /** Basis of the last month that it was found from: as long as that is the same, so is the change. */
  readonly basis: string;
}

/**
 * The changes known once these months are over: those known before, those of an earlier run that were found from the very same months (some of
 * which may no longer be scored), and those that now stand out and go on. Once a change is known the watch begins anew: later months are
 * measured against forecasts that reckon with it, and it is not found twice.
 *
 * **Checked** tests/insight/known-changes.test.ts, tests/slow/drift.test.ts
 */
export function knownAfter(
  months: readonly MonthScores[],
  known: readonly KnownChange[],
  former: readonly KnownChange[],
): readonly KnownChange[] {
  const last = months.at(-1);
  if (last === undefined) return known;
  const about = { knownFrom: monthAfter(last.month), basis: last.basis };
  const stood = former.filter(({ knownFrom, basis }) => knownFrom === about.knownFrom && basis === about.basis);
  const isKnown = (model: ModelName) => stood.some(({ drift }) => drift.model === model);
  const found = drifts(months, watchedSince(known)).filter(({ goesOn, model }) => goesOn && !isKnown(model));
  return [...known, ...stood, ...found.map((drift) => ({ drift, ...about }))];
}

/** By model, the month with which the watch for its next change began. */
export function watchedSince(known: readonly KnownChange[]): Partial<Record<ModelName, string>> {
  return Object.fromEntries(known.map(({ drift, knownFrom }) => [drift.model, knownFrom]));
}

/** What a fit needs to know of them: the months, in order of time. */
export function levelChanges(known: readonly KnownChange[]): LevelChanges {
  const months = (model: ModelName) => [
    ...new Set(known.flatMap(({ drift }) => (drift.model === model ? drift.since : []))),
  ];
  const byModel = modelNames.map((model) => [model, months(model).sort()] as const);
  return Object.fromEntries(byModel.filter(([, since]) => since.length > 0));
}

export function monthAfter(month: string): string {
  const [year, number] = month.split('-').map(Number);
  return new Date(Date.UTC(year, number)).toISOString().slice(0, 7);
}
