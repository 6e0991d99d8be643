import type { Machine, Technician } from '../src/domain/lists.ts';
import type { FinishedJob } from '../src/domain/record.ts';
import { type KnownChange, levelChanges } from '../src/insight/known-changes.ts';
import { judge } from '../src/insight/publication.ts';
import { scoresVersion } from '../src/insight/scoring/month-basis.ts';
import { monthsToScore, scoreShop } from '../src/insight/scoring/score-shop.ts';
import type { FitScores, ReckonedChange } from '../src/insight/scoring/stored-scores.ts';
import { typicalEvidence } from '../src/models/estimate/typical-evidence.ts';
import { fitShop, type ShopFitResult } from '../src/models/fit.ts';
import { encodeShopFit, fitVersion, readShopFit } from '../src/models/fit-codec.ts';
import { type FitSummary, summariseShopFit } from '../src/models/fit-summary.ts';
import { beforeTerm } from '../src/models/layout.ts';
import type { RuleOverrides } from '../src/models/rule-table.ts';
import type { ShopFit } from '../src/models/shop-fit.ts';

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
  readonly timeZone: string;
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
  const formerChanges = (latestScores ?? formerScores)?.changes ?? [];
  const warmStart = published === undefined ? undefined : readShopFit(published);
  const first = fitShop({ ...material, changes: levelChanges(formerChanges), warmStart });
  if (first.status === 'failed') return failed(first);
  const formerMonths = formerScores?.months ?? [];
  const scoredBefore = [...formerMonths, ...(latestScores?.months ?? [])];
  const history = { ...material, today: first.fit, formerMonths: scoredBefore, formerChanges, version: fitVersion };
  const { months, changes } = scoreShop(history);
  const fit = reckoningWith(changes, formerChanges, first.fit, material);
  const verdict = judge(fit, material.records, material, months, formerMonths);
  const summary = summariseShopFit(fit);
  return {
    status: verdict.publish ? 'published' : 'refused',
    reason: verdict.publish ? null : `Not published: ${verdict.reasons.join('; ')}.`,
    posterior: encodeShopFit(fit),
    summary: { ...summary, evidence: typicalEvidence(fit, material) },
    scores: { version: scoresVersion, months, verdict, changes: changes.map((change) => reckoned(change, summary)) },
    finished: months.length === monthsToScore(material.records).length,
  };
}

function failed({ failures }: Extract<ShopFitResult, { status: 'failed' }>): ComputedFit {
  const reason = failures.map(({ message }) => message).join(' ');
  return { status: 'failed', reason, posterior: null, summary: { failures }, scores: null, finished: true };
}

/** The fit anew where other changes are known now than when it was made; the same one where not, or where the new one fails. */
function reckoningWith(
  changes: readonly KnownChange[],
  before: readonly KnownChange[],
  fit: ShopFit,
  material: Omit<FitMaterial, 'published'>,
): ShopFit {
  const now = levelChanges(changes);
  if (JSON.stringify(now) === JSON.stringify(levelChanges(before))) return fit;
  const again = fitShop({ ...material, changes: now, warmStart: fit });
  return again.status === 'fitted' ? again.fit : fit;
}

function reckoned(change: KnownChange, { models }: FitSummary): ReckonedChange {
  const { model, since } = change.drift;
  const term = models[model].terms.find((one) => one.term === beforeTerm(since));
  return { ...change, level: term === undefined ? null : { p05: term.p05, p50: term.p50, p95: term.p95 } };
}
