import type { Machine, Technician } from '../src/domain/lists.ts';
import type { FinishedJob } from '../src/domain/record.ts';
import { judge, type Verdict } from '../src/insight/publication.ts';
import type { MonthScores } from '../src/insight/scoring/month-scores.ts';
import { scoreShop } from '../src/insight/scoring/score-shop.ts';
import { unreadOf } from '../src/insight/scoring/unread.ts';
import { fitShop } from '../src/models/fit.ts';
import { encodeShopFit, fitVersion, readShopFit } from '../src/models/fit-codec.ts';
import { summariseShopFit } from '../src/models/fit-summary.ts';
import type { RuleOverrides } from '../src/models/rule-table.ts';

/** All that a run reads of a shop; `published` is the encoded fit that estimates use now, `formerScores` what is stored with it. */
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
}

/** How the way of learning did on jobs it had not seen, and what was made of that. */
export interface FitScores {
  readonly months: readonly MonthScores[];
  readonly verdict: Verdict;
}

/** What is stored of a run, and what becomes of it: `reason` says in words why it is not published. */
export interface ComputedFit {
  readonly status: 'published' | 'refused' | 'failed';
  readonly reason: string | null;
  readonly posterior: string | null;
  readonly summary: object;
  readonly scores: FitScores | null;
}

/** Pure: the whole arithmetic of a run, so that it can be done in a process of its own. */
export function computeFit({ published, formerScores, ...material }: FitMaterial): ComputedFit {
  const result = fitShop({ ...material, warmStart: published === undefined ? undefined : readShopFit(published) });
  if (result.status === 'failed') {
    const reason = result.failures.map((failure) => failure.message).join(' ');
    return { status: 'failed', reason, posterior: null, summary: { failures: result.failures }, scores: null };
  }
  const { fit } = result;
  const formerMonths = formerScores?.months ?? [];
  const months = scoreShop({ ...material, unread: unreadOf(fit), formerMonths, version: fitVersion });
  const verdict = judge(fit, material.records, material, months, formerMonths);
  return {
    status: verdict.publish ? 'published' : 'refused',
    reason: verdict.publish ? null : `Not published: ${verdict.reasons.join('; ')}.`,
    posterior: encodeShopFit(fit),
    summary: summariseShopFit(fit),
    scores: { months, verdict },
  };
}
