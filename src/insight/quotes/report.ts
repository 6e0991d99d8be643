import type { FinishedJob } from '../../domain/record.ts';
import type { ShopSettings } from '../../domain/shop-settings.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { ranOver } from '../actual-hours.ts';
import { inLastYear } from '../last-year.ts';
import { type Range, shareRange } from '../range.ts';
import type { ShopRecords } from '../shop-records.ts';
import { type FollowedEstimates, followEstimates, type StoredAnswer } from './followed.ts';
import { type KindBy, kindsBy } from './kinds.ts';
import { overrunsBy, type QuotedJob, quotedJobs } from './overruns.ts';
import { type Replay, replayQuotes } from './replay.ts';
import { judgedTogether, type KindOverrun, type QuoteStanding, quoteStanding } from './standings.ts';

/** All quotes together. */
export interface QuotesInShort {
  readonly risk: number;
  readonly quotedJobs: number;
  readonly over: number;
  readonly shareOver: Range;
  readonly standing: QuoteStanding;
}

export interface QuotesReport extends QuotesInShort {
  readonly answer: string;
  readonly jobs: number;
  readonly byKind: Readonly<Record<KindBy, readonly KindOverrun[]>>;
  readonly replay: Replay;
  readonly followed: FollowedEstimates;
}

/** Are our quotes of the last year right: quoted hours against hours taken, overall and by kind of job, and what the fit would have quoted. */
export function quotesReport(
  fit: ShopFit,
  shop: ShopRecords,
  settings: ShopSettings,
  answers: ReadonlyMap<string, StoredAnswer>,
  now: Date,
  risk = settings.overrunRisk,
): QuotesReport {
  const quoted = quotedInLastYear(shop.records, now);
  const by = (name: KindBy) => (quoted.length === 0 ? [] : (overrunsBy(quoted, kindsBy[name], risk) ?? []));
  const byKind = judgedTogether(
    {
      bodyStyle: by('bodyStyle'),
      heaviestSoil: by('heaviestSoil'),
      mainFabric: by('mainFabric'),
      mainMethod: by('mainMethod'),
      seats: by('seats'),
    },
    risk,
  );
  const replay = replayQuotes(fit, quoted, { ...shop, now }, settings, risk);
  const overall = inShort(quoted, risk);
  return {
    answer: quoted.length === 0 ? quotesSentence(overall) : answer(overall, byKind, replay),
    ...overall,
    jobs: shop.records.filter(inLastYear(now)).length,
    byKind,
    replay,
    followed: followEstimates(shop.records, answers),
  };
}

/** The report's first figures alone: a count of records, where all of it takes fits and draws. */
export function quotesInShort(records: readonly FinishedJob[], now: Date, risk: number): QuotesInShort {
  return inShort(quotedInLastYear(records, now), risk);
}

/** A shop that has put its quotes right is not to be told of those before for ever. */
function quotedInLastYear(records: readonly FinishedJob[], now: Date): readonly QuotedJob[] {
  return quotedJobs(records.filter(inLastYear(now)));
}

function inShort(quoted: readonly QuotedJob[], risk: number): QuotesInShort {
  const over = quoted.filter(({ hours, quotedHours }) => ranOver(hours, quotedHours)).length;
  const shareOver = shareRange(over, quoted.length);
  return { risk, quotedJobs: quoted.length, over, shareOver, standing: quoteStanding(shareOver, risk, quoted.length) };
}

/** Are our quotes right, in one sentence. */
export function quotesSentence({ quotedJobs: jobs, over, risk, shareOver, standing }: QuotesInShort): string {
  if (jobs === 0) return 'No job finished in the last year says what was quoted, so there is nothing to compare.';
  const percent = (share: number) => Math.round(100 * share);
  const range = `90 % range ${percent(shareOver.p05)} to ${percent(shareOver.p95)} %`;
  return `${verdicts[standing]}: ${over} of ${jobs} ${jobs === 1 ? 'job' : 'jobs'} of the last year ran over ${jobs === 1 ? 'its' : 'their'} quoted hours (${range}), and you aim at ${percent(risk)} in 100.`;
}

const verdicts: Readonly<Record<QuoteStanding, string>> = {
  'too low': 'Our quotes are too low',
  'too high': 'Our quotes are higher than they need be',
  unclear: 'Our quotes are about right, as far as can be told',
};

function answer(overall: QuotesInShort, byKind: QuotesReport['byKind'], replay: Replay): string {
  const having = (standing: QuoteStanding) =>
    Object.values(byKind)
      .flat()
      .filter((one) => one.standing === standing)
      .map(({ kind }) => kind);
  const [low, high] = [having('too low'), having('too high')];
  const named = [
    low.length > 0 ? `Too low for ${low.join('; ')}.` : '',
    high.length > 0 ? `Too high for ${high.join('; ')}.` : '',
    low.length + high.length === 0 ? 'No kind of job stands out.' : '',
  ].filter((text) => text !== '');
  const few = overall.quotedJobs < 20 ? ' With so few quotes this can change.' : '';
  return `${quotesSentence(overall)} ${named.join(' ')}${replaySentence(replay)}${few}`;
}

/** What the fit's quotes would have brought; of how many jobs, for the sums are theirs and not the year's. */
export function replaySentence(replay: Replay): string {
  const { jobs, ofQuotedJobs, asQuoted, asEstimated, difference, differenceRange, currency } = replay;
  if (jobs === 0) return '';
  const which = jobs < ofQuotedJobs ? `the latest ${jobs} of ${ofQuotedJobs}` : jobs;
  const moreOrLess = (money: number) => (money >= 0 ? 'more' : 'less');
  const apart = (money: number) => `${Math.abs(money)} ${currency} ${moreOrLess(money)}`;
  const between = differenceRange
    ? ` (of as many other such jobs it would be ${apart(differenceRange.p10)} to ${apart(differenceRange.p90)}, 8 times in 10)`
    : '';
  const times = asEstimated.over === 1 ? 'once' : `${asEstimated.over} times`;
  return ` Over ${which} quoted ${ofQuotedJobs === 1 ? 'job' : 'jobs'} of the last year, quotes from ${whoseQuotes(replay)} would have run over ${times} instead of ${asQuoted.over}, for ${Math.abs(difference)} ${currency} of labour ${moreOrLess(difference)} quoted${between}.`;
}

function whoseQuotes({ by, notSeen, jobs }: Replay): string {
  if (by === 'rules of thumb') return 'the rules of thumb';
  if (notSeen === jobs) return 'the fit (which has seen none of them)';
  return notSeen === 0 ? 'the fit (which has seen them)' : `the fit (which has seen ${jobs - notSeen} of them)`;
}
