import type { ShopSettings } from '../../domain/shop-settings.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import type { Range } from '../range.ts';
import type { ShopRecords } from '../wetness/residuals.ts';
import { type FollowedEstimates, followEstimates, type StoredAnswer } from './followed.ts';
import { type KindBy, kindsBy } from './kinds.ts';
import { type KindOverrun, overrunsBy, quotedJobs, shareRange } from './overruns.ts';
import { type Replay, replayQuotes } from './replay.ts';

export interface QuotesReport {
  readonly answer: string;
  readonly risk: number;
  readonly jobs: number;
  readonly quotedJobs: number;
  readonly over: number;
  readonly shareOver: Range;
  readonly byKind: Readonly<Record<KindBy, readonly KindOverrun[]>>;
  readonly replay: Replay;
  readonly followed: FollowedEstimates;
}

/** Are our quotes right: quoted hours against hours taken, overall and by kind of job, and what the fit would have quoted. */
export function quotesReport(
  fit: ShopFit,
  shop: ShopRecords,
  settings: ShopSettings,
  answers: ReadonlyMap<string, StoredAnswer>,
  now: Date,
  risk = settings.overrunRisk,
): QuotesReport {
  const quoted = quotedJobs(shop.records);
  const over = quoted.filter(({ hours, quotedHours }) => hours > quotedHours).length;
  const by = (name: KindBy) => (quoted.length === 0 ? [] : (overrunsBy(quoted, kindsBy[name], risk) ?? []));
  const byKind = {
    bodyStyle: by('bodyStyle'),
    heaviestSoil: by('heaviestSoil'),
    mainFabric: by('mainFabric'),
    mainMethod: by('mainMethod'),
    seats: by('seats'),
  };
  const replay = replayQuotes(fit, quoted, { ...shop, now }, settings, risk);
  return {
    answer: answer(quoted.length, over, risk, byKind, replay),
    risk,
    jobs: shop.records.length,
    quotedJobs: quoted.length,
    over,
    shareOver: shareRange(over, quoted.length),
    byKind,
    replay,
    followed: followEstimates(shop.records, answers),
  };
}

function answer(
  quoted: number,
  over: number,
  risk: number,
  byKind: QuotesReport['byKind'],
  { difference, currency, asQuoted, asEstimated, jobs }: Replay,
): string {
  if (quoted === 0) return 'No job has quoted hours yet: put them in quoted.hours.';
  const wrong = Object.values(byKind)
    .flat()
    .filter(({ takenOverQuoted: { p05, p95 } }) => p05 > 1.05 || p95 < 0.95);
  const low = wrong.filter(({ takenOverQuoted }) => takenOverQuoted.p05 > 1).map(({ kind }) => kind);
  const high = wrong.filter(({ takenOverQuoted }) => takenOverQuoted.p95 < 1).map(({ kind }) => kind);
  const named = [
    low.length > 0 ? `Too low for ${low.join(', ')}.` : '',
    high.length > 0 ? `Too high for ${high.join(', ')}.` : '',
    wrong.length === 0 ? 'No kind of job stands out.' : '',
  ].filter((text) => text !== '');
  const few = quoted < 20 ? ' With so few quotes this can change.' : '';
  return `${over} of ${quoted} jobs ran over their quoted hours; you aim at ${Math.round(100 * risk)} in 100. ${named.join(' ')} Over ${jobs} jobs of the last year, quotes from the fit would have run over ${asEstimated.over} times instead of ${asQuoted.over}, for ${difference} ${currency} of labour ${difference >= 0 ? 'more' : 'less'} quoted.${few}`;
}
