import { describe, expect, it } from 'vitest';
import { plannedJob } from '../../src/domain/planned.ts';
import type { FinishedJob } from '../../src/domain/record.ts';
import { randomGenerator } from '../../src/inference/random.ts';
import { binomialPValue } from '../../src/inference/scores-calibration.ts';
import { followEstimates } from '../../src/insight/quotes/followed.ts';
import { kindsBy } from '../../src/insight/quotes/kinds.ts';
import { overrunsBy, quotedJobs } from '../../src/insight/quotes/overruns.ts';
import { priceList } from '../../src/insight/quotes/price-list.ts';
import type { Replay } from '../../src/insight/quotes/replay.ts';
import { quotesInShort, quotesReport, quotesSentence, replaySentence } from '../../src/insight/quotes/report.ts';
import { judgedTogether } from '../../src/insight/quotes/standings.ts';
import { shareRange } from '../../src/insight/range.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { context, done, fitOf } from '../models/shop-under-test.ts';

const sums = { over: 3, quotedMinutes: 600, takenMinutes: 580, gapMinutes: 20, money: 13.33 };
const replay = (change: Partial<Replay>): Replay => ({
  jobs: 80,
  ofQuotedJobs: 80,
  asQuoted: { ...sums, over: 9 },
  asEstimated: sums,
  difference: 41.5,
  differenceRange: { p10: -12, p90: 95 },
  currency: 'EUR',
  by: 'fit',
  notSeen: 0,
  note: '',
  ...change,
});

describe('contract: last year’s quotes made anew, in a sentence', () => {
  it('says how many jobs its sums were taken from, where not from all', () => {
    expect(replaySentence(replay({ ofQuotedJobs: 441 }))).toContain(
      'Over the latest 80 of 441 quoted jobs of the last year, ',
    );
    expect(replaySentence(replay({}))).toContain('Over 80 quoted jobs of the last year, quotes from the fit');
    expect(replaySentence(replay({ jobs: 1, ofQuotedJobs: 1 }))).toContain('Over 1 quoted job of the last year, ');
  });

  it('says how far its sum hangs on which jobs came, where there are some to tell by', () => {
    expect(replaySentence(replay({}))).toContain(
      '(of as many other such jobs it would be 12 EUR less to 95 EUR more, 8 times in 10)',
    );
    expect(replaySentence(replay({ differenceRange: null }))).toMatch(/more quoted\.$/);
  });

  it('is of the latest, so that one job more moves its sum by what it and the one it displaces say', () => {
    const { technicians, machines } = context;
    const records = Array.from({ length: 160 }, (_, i) => ({
      ...done(`Q-${i}`, {}, { finishedAt: new Date(Date.UTC(2026, 0, 1, i)).toISOString() }),
      quoted: { hours: i % 2 === 0 ? 2 : 5 },
    }));
    const moneyOf = (some: readonly FinishedJob[]) =>
      quotesReport(fitOf([]), { records: some, technicians, machines }, context.settings, new Map(), context.now)
        .replay;
    const [before, after] = [moneyOf(records.slice(0, -1)), moneyOf(records)];
    const { labourRate } = context.settings;
    expect(Math.abs(after.asQuoted.quotedMinutes - before.asQuoted.quotedMinutes)).toBeLessThanOrEqual(3 * 60);
    // Eighty quotes of 2 and 5 hours in turn against one and the same: standard deviation 1.5 hours, by hand; t of 79 degrees.
    const reach = 1.2924 * 1.5 * labourRate * Math.sqrt((2 * 80 * 80) / 79);
    expect(after.differenceRange?.p90).toBeCloseTo(after.difference + reach, 0);
    expect(after.differenceRange?.p10).toBeCloseTo(after.difference - reach, 0);
  });

  it('says that the fit has seen the jobs that it quotes', () => {
    expect(replaySentence(replay({}))).toMatch(
      /which has seen them.* 3 times instead of 9, for 41\.5 EUR of labour more/,
    );
  });

  it('says that it is the rules of thumb that quote where no fit is in use', () => {
    const { technicians, machines } = context;
    const records = [{ ...done('Q-1'), quoted: { hours: 3.5 } }];
    const shop = { records, technicians, machines };
    const said = (fit: ShopFit) => quotesReport(fit, shop, context.settings, new Map(), context.now);
    expect(said(fitOf([])).answer).toContain('quotes from the rules of thumb would have run over');
    expect(said(fitOf([])).replay.note).toMatch(/^No fit is in use/);
    expect(said(fitOf(records)).answer).toContain('quotes from the fit (which has seen them)');
    expect(replaySentence(replay({ asEstimated: { ...sums, over: 1 } }))).toContain('run over once instead of 9');
  });

  it('says of a fit that is older than some of the jobs which it has not seen', () => {
    const { technicians, machines } = context;
    const fit = fitOf([done('Q-1')]);
    const after = new Date(Date.parse(fit.fittedAt) + 86_400_000).toISOString();
    const [old, young] = [done('Q-1'), done('Q-2', {}, { finishedAt: after })].map((job) => ({
      ...job,
      quoted: { hours: 3.5 },
    }));
    const now = new Date(Date.parse(after) + 86_400_000);
    const said = (records: readonly FinishedJob[]) =>
      quotesReport(fit, { records, technicians, machines }, context.settings, new Map(), now);
    expect(said([old, young]).answer).toContain('quotes from the fit (which has seen 1 of them)');
    expect(said([old, young]).replay).toMatchObject({ jobs: 2, notSeen: 1 });
    expect(said([old, young]).replay.note).toMatch(/^The fit in use was made before 1 of these jobs was finished/);
    expect(said([young]).answer).toContain('quotes from the fit (which has seen none of them)');
    expect(said([young]).replay.note).toMatch(/it has seen none of them\.$/);
  });

  it('says nothing where the last year has no quoted job', () => {
    expect(replaySentence(replay({ jobs: 0, ofQuotedJobs: 0 }))).toBe('');
  });
});

describe('contract: estimates that finished jobs name', () => {
  it('are told apart from ids that none made here has, however they are written', () => {
    const id = 'abcdef00-0000-4000-8000-000000000001';
    const answer = { id, labourHours: { p10: 1, p90: 9 }, quote: { hours: 9 }, readyBy: null };
    const naming = (ref: string, estimate: string) => ({ ...done(ref), quoted: { estimate } });
    const other = 'abcdef00-0000-4000-8000-000000000002';
    const records = [naming('a', id), naming('b', id.toUpperCase()), naming('c', other), done('d')];
    const followed = followEstimates(records, new Map([[id, answer]]));
    expect(followed).toMatchObject({ jobs: 2, notMadeHere: 1 });
    expect(followed.says).toMatch(/^2 of 2 jobs took .* 1 job names an estimate that was not made here/);
    expect(followEstimates(records, new Map()).says).toMatch(/^No finished job names an estimate made here yet/);
    expect(followEstimates([done('d')], new Map()).says).toMatch(
      /^No finished job names an estimate yet: .*\.estimate\.$/,
    );
  });
});

describe('contract: quotes in short', () => {
  it('are those of the last year: what was quoted before is no verdict on what is quoted now', () => {
    const quoted = (ref: string, hours: number, finishedAt: string) => ({
      ...done(ref),
      quoted: { hours },
      finishedAt,
    });
    const now = new Date('2026-05-01');
    const tooLow = Array.from({ length: 50 }, (_, i) => quoted(`old-${i}`, 1, '2025-04-20T12:00:00Z'));
    const right = Array.from({ length: 50 }, (_, i) => quoted(`new-${i}`, i % 5 ? 4 : 3, '2026-04-20T12:00:00Z'));
    expect(quotesInShort([...tooLow, ...right], now, 0.2)).toMatchObject({
      quotedJobs: 50,
      over: 10,
      standing: 'unclear',
    });
    expect(quotesSentence(quotesInShort(tooLow, now, 0.2))).toMatch(/^No job finished in the last year/);
  });
});

describe('contract: a job that ran over its quote', () => {
  it('took a minute more at least, for quotes are told to the hundredth of an hour', () => {
    const took = (minutes: number) => ({
      ...done('q', {}, { labour: [{ technician: 'ann', minutes }] }),
      quoted: { hours: 3.83 },
    });
    const over = (minutes: number) => quotesInShort([took(minutes)], new Date('2026-05-01'), 0.2).over;
    expect([229, 230, 231].map(over)).toEqual([0, 0, 1]);
  });
});

describe('contract: quotes by kind', () => {
  it('name no kind for one or two jobs that ran over', () => {
    const over = (n: number) => Array.from({ length: n }, (_, i) => ({ ...done(`O-${i}`), quoted: { hours: 2 } }));
    const standingOf = (n: number) => {
      const bodyStyle = overrunsBy(quotedJobs(over(n)), kindsBy.bodyStyle, 0.2) ?? [];
      return judgedTogether({ bodyStyle }, 0.2).bodyStyle[0].standing;
    };
    expect([1, 2, 3].map(standingOf)).toEqual(['unclear', 'unclear', 'too low']);
    const short = quotesInShort(over(1), new Date('2026-05-01'), 0.2);
    expect(quotesSentence(short)).toMatch(/^Our quotes are about right, as far as can be told: 1 of 1 job of/);
  });

  /** Kinds of which so many of so many jobs ran over, one that goes otherwise among ten that do not. */
  const kindsOf = (counts: readonly (readonly [over: number, jobs: number])[]) => {
    const range = { p05: 1, p50: 1, p95: 1 };
    const figures = { takenOverQuoted: range, medianQuotedHours: 3, hoursToQuote: 3 };
    const bodyStyle = counts.map(([over, jobs], i) => {
      return { kind: `kind ${i}`, jobs, over, shareOver: shareRange(over, jobs), ...figures };
    });
    return judgedTogether({ bodyStyle }, 0.2).bodyStyle.map(({ standing }) => standing);
  };

  it('name one that would stand out alone only where it does so among all', () => {
    const others = Array.from({ length: 10 }, () => [4, 20] as const);
    // 9 of 20 is what chance does to one kind in fifty, and to one of eleven in every fifth shop.
    expect(binomialPValue(9, 20, 0.2)).toBeCloseTo(0.02, 2);
    expect(kindsOf([[9, 20], ...others])[0]).toBe('unclear');
    expect(kindsOf([[13, 20], ...others])[0]).toBe('too low');
    expect(kindsOf([[9, 20], ...others.map(() => [9, 20] as const)])).toEqual(new Array(11).fill('too low'));
    expect(kindsOf([[0, 60], ...others])[0]).toBe('too high');
  });

  it('name any in at most one shop of ten whose quotes are right', () => {
    const random = randomGenerator(5);
    const shops = 500;
    let named = 0;
    for (let shop = 0; shop < shops; shop++) {
      const counts = Array.from({ length: 20 }, (_, i) => {
        const jobs = 3 + 5 * i;
        return [Array.from({ length: jobs }, () => random.uniform()).filter((u) => u < 0.2).length, jobs] as const;
      });
      if (kindsOf(counts).some((standing) => standing !== 'unclear')) named++;
    }
    // 0.1 + 3.1 standard errors: passed by chance once in a thousand times.
    expect(named / shops).toBeLessThan(0.142);
  });

  it('are told where the hours written down are those that were quoted, to the step of the minutes', () => {
    const jobs = Array.from({ length: 100 }, (_, i) => ({ ...done(`Q-${i}`), quoted: { hours: 3.5 } }));
    const [sedan] = overrunsBy(quotedJobs(jobs), kindsBy.bodyStyle, 0.2) ?? [];
    expect(sedan?.takenOverQuoted.p50).toBeCloseTo(1, 2);
    expect(sedan?.hoursToQuote).toBeGreaterThan(3.6);
    expect(sedan?.hoursToQuote).toBeLessThan(3.7);
  });
});

describe('identity: the price list', () => {
  it('names what an estimate of the same job comes to, to the cent', () => {
    const fit = fitOf(Array.from({ length: 40 }, (_, i) => done(`P-${i}`)));
    const seat = { fabric: 'flat-woven', method: 'extraction' } as const;
    const listed = priceList(fit, context).filter(({ cleaned }) => cleaned === 'front and rear seats, taken out');
    expect(listed).toHaveLength(36);
    for (const { bodyStyle, soil, price, hours } of listed) {
      const sections = [
        { ...seat, soil, area: 'front-seat', count: 2 },
        { ...seat, soil, area: 'rear-bench' },
      ];
      const { quote } = estimateJob(fit, plannedJob.parse({ bodyStyle, seatsRemoved: true, sections }), context);
      expect([price, hours], `${bodyStyle}, ${soil}`).toEqual([quote.price, quote.hours]);
    }
  });
});
