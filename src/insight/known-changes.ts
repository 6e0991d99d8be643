import type { ModelName } from '../domain/doubts.ts';
import type { LevelChanges } from '../models/layout.ts';
import { modelNames } from '../models/shop-fit.ts';
import { type Drift, drifts } from './drift.ts';
import type { ModelMonth, MonthScores } from './scoring/month-scores.ts';

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
 * which may no longer be scored), and those that now stand out, go on, and have shown in two months or more: one odd month is told, but nothing
 * is reckoned with for it. What a known change explains is taken off the months that showed it, so that it is not found twice, and one that did
 * not last is soon followed by another back.
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
  const found = drifts(unexplained(months, known)).filter(
    (drift) => isLasting(drift) && !isKnown(drift.model) && !known.some((before) => goesOnAfter(before, drift)),
  );
  return [...known, ...stood, ...found.map((drift) => ({ drift, ...about }))];
}

function isLasting({ goesOn, since, until }: Drift): boolean {
  return goesOn && since < until;
}

/** The same once more, as if nothing were reckoned with: a further level would not help where the first did not. It is told. */
function goesOnAfter({ drift: before, knownFrom }: KnownChange, drift: Drift): boolean {
  return before.model === drift.model && before.shift * drift.shift > 0 && drift.since <= knownFrom;
}

/** The months with what known changes explain taken off their residuals: their shift, from the month they began with until forecasts knew of them. */
export function unexplained(months: readonly MonthScores[], known: readonly KnownChange[]): readonly MonthScores[] {
  return known.reduce(
    (rest, { drift: { model, since, shift }, knownFrom }) =>
      rest.map((month) => {
        if (month.month < since || month.month >= knownFrom) return month;
        return { ...month, models: { ...month.models, [model]: shifted(month.models[model], -shift) } };
      }),
    months,
  );
}

/** Every residual moved by as much. */
function shifted(month: ModelMonth, by: number): ModelMonth {
  const { n, residual, residualSquares } = month;
  return {
    ...month,
    residual: residual + n * by,
    residualSquares: residualSquares + 2 * by * residual + n * by ** 2,
  };
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
