import type { KnownChange } from '../known-changes.ts';
import type { Verdict } from '../publication.ts';
import type { Range } from '../range.ts';
import { scoresVersion } from './month-basis.ts';
import type { MonthScores } from './month-scores.ts';

/** What is stored with a fit: how the way of learning did on jobs it had not seen, and what was made of that. */
export interface FitScores {
  readonly version: number;
  readonly months: readonly MonthScores[];
  readonly verdict: Verdict;
  /** Lasting changes that the fit reckons with; absent where an earlier version of the program wrote it. */
  readonly changes?: readonly ReckonedChange[] | undefined;
}

/** A known change and what the fit made of it: how what came before stands to what came since, as a logarithm. */
export interface ReckonedChange extends KnownChange {
  readonly level: Range | null;
}

/** Stored scores, as a run of this program wrote them; undefined where there are none, or those of another version. */
export function readScores(stored: unknown): FitScores | undefined {
  const isOurs =
    typeof stored === 'object' && stored !== null && 'version' in stored && stored.version === scoresVersion;
  return isOurs ? (stored as FitScores) : undefined;
}
