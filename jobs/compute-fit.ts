import type { Machine, Technician } from '../src/domain/lists.ts';
import type { FinishedJob } from '../src/domain/record.ts';
import { judge } from '../src/insight/publication.ts';
import { scoresVersion } from '../src/insight/scoring/month-basis.ts';
import { monthsToScore, scoreShop } from '../src/insight/scoring/score-shop.ts';
import type { FitScores } from '../src/insight/scoring/stored-scores.ts';
import { typicalEvidence } from '../src/models/estimate/typical-evidence.ts';
import { fitShop } from '../src/models/fit.ts';
import { encodeShopFit, fitVersion, readShopFit } from '../src/models/fit-codec.ts';
import { summariseShopFit } from '../src/models/fit-summary.ts';
import type { RuleOverrides } from '../src/models/rule-table.ts';

/**
 * All that a run reads of a shop. `published` is the encoded fit that estimates use now and `formerScores` its scores, which the new ones are
 * judged against; `latestScores` are the last run's, published or not: months in them need not be scored again.
 */
export interface FitMaterial {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules: RuleOverrides;
  readonly now: Date;
  /** Refs of records that are read however odd they are. */
  readonly confirmed?: readonly string[] | undefined;
  readonly published?: string | undefined;
  readonly formerScores?: FitScores | undefined;
  readonly latestScores?: FitScores | undefined;
}

/** What is stored of a run, and what becomes of it: `reason` says in words why it is not published. */
export interface ComputedFit {
  readonly status: 'published' | 'refused' | 'failed';
  readonly reason: string | null;
  readonly posterior: string | null;
  readonly summary: object;
  readonly scores: FitScores | null;
  /** Whether all months are scored; a large shop's follow in the nights to come. */
  readonly finished: boolean;
}

/** Pure: the whole arithmetic of a run, so that it can be done in a process of its own. */
export function computeFit({ published, formerScores, latestScores, ...material }: FitMaterial): ComputedFit {
  const result = fitShop({ ...material, warmStart: published === undefined ? undefined : readShopFit(published) });
  if (result.status === 'failed') {
    const reason = result.failures.map((failure) => failure.message).join(' ');
    return {
      status: 'failed',
      reason,
      posterior: null,
      summary: { failures: result.failures },
      scores: null,
      finished: true,
    };
  }
  const { fit } = result;
  const formerMonths = formerScores?.months ?? [];
  const scoredBefore = [...formerMonths, ...(latestScores?.months ?? [])];
  const months = scoreShop({ ...material, today: fit, formerMonths: scoredBefore, version: fitVersion });
  const verdict = judge(fit, material.records, material, months, formerMonths);
  return {
    status: verdict.publish ? 'published' : 'refused',
    reason: verdict.publish ? null : `Not published: ${verdict.reasons.join('; ')}.`,
    posterior: encodeShopFit(fit),
    summary: { ...summariseShopFit(fit), evidence: typicalEvidence(fit, material) },
    scores: { version: scoresVersion, months, verdict },
    finished: months.length === monthsToScore(material.records).length,
  };
}
