import type { Verdict } from '../publication.ts';
import { scoresVersion } from './month-basis.ts';
import type { MonthScores } from './month-scores.ts';

/** What is stored with a fit: how the way of learning did on jobs it had not seen, and what was made of that. */
export interface FitScores {
  readonly version: number;
  readonly months: readonly MonthScores[];
  readonly verdict: Verdict;
}

/** Stored scores, as a run of this program wrote them; undefined where there are none, or those of another version. */
export function readScores(stored: unknown): FitScores | undefined {
  const isOurs =
    typeof stored === 'object' && stored !== null && 'version' in stored && stored.version === scoresVersion;
  return isOurs ? (stored as FitScores) : undefined;
}
