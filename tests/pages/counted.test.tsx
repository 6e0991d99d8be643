import { describe, expect, it } from 'vitest';
import type { Replay } from '../../src/insight/quotes/replay.ts';
import type { QuotesReport } from '../../src/insight/quotes/report.ts';
import type { Range } from '../../src/insight/range.ts';
import { QuotesPage } from '../../src/pages/findings-quotes.tsx';
import { freshForm } from '../../src/pages/form-input.ts';
import { formatsFor } from '../../src/pages/format.ts';
import { Doubtful } from '../../src/pages/records-doubtful.tsx';
import { FitsPage } from '../../src/pages/trust-fits.tsx';
import { counted } from '../../src/pages/words.ts';

const formats = formatsFor({
  now: new Date('2025-03-05'),
  timeZone: 'UTC',
  settings: { units: 'si', currency: 'EUR' },
});
const plain = (html: unknown) =>
  String(html)
    .replace(/<[^>]*>/g, '')
    .replace(/\s+/g, ' ');

describe('contract: what is counted, of one as of many', () => {
  it('is said of none, one and many', () => {
    const said = [0, 1, 2, 1204].map((count) => counted(count, 'finished job', formats));
    expect(said).toEqual(['0 finished jobs', '1 finished job', '2 finished jobs', '1,204 finished jobs']);
  });

  it('is one job on the page of quotes', async () => {
    const range: Range = { p05: 0.1, p50: 0.4, p95: 0.8 };
    const sums = { over: 1, quotedMinutes: 120, takenMinutes: 130, gapMinutes: -10, money: -7 };
    const twice = {
      asQuoted: sums,
      asEstimated: sums,
      difference: 0,
      differenceRange: null,
      currency: 'EUR',
      by: 'fit',
      notSeen: 0,
      note: '',
    } as const;
    const replay: Replay = { jobs: 1, ofQuotedJobs: 1, ...twice };
    const returnTimes = { jobs: 1, dryByP50: 1, dryByP90: 1, shareDryByP90: range };
    const followed = {
      jobs: 1,
      notMadeHere: 1,
      overQuote: 1,
      insideEightOfTen: 1,
      shareInside: range,
      returnTimes,
      says: '',
    };
    const byKind = { bodyStyle: [], heaviestSoil: [], mainFabric: [], mainMethod: [], seats: [] };
    const short = { risk: 0.2, quotedJobs: 1, over: 1, shareOver: range, standing: 'unclear' } as const;
    const report: QuotesReport = { ...short, answer: '', jobs: 2, byKind, replay, followed };
    const says = plain(await (<QuotesPage report={report} form={freshForm} formats={formats} />));
    expect(says).toContain('Of 2 jobs finished in the last year 1 names no quoted hours and is not counted.');
    expect(says).toContain('Over 1 job of the last year');
    expect(says).toContain('would have run over 1 time instead of 1');
    expect(says).toContain('of 1 vehicle 1 was found dry');
    expect(says).toContain('1 job names an estimate that was not made here');
    expect(says).toContain('The program has learnt from these jobs');
    const older: QuotesReport = { ...report, replay: { ...replay, jobs: 3, notSeen: 1 } };
    const saysOfOlder = plain(await (<QuotesPage report={older} form={freshForm} formats={formats} />));
    expect(saysOfOlder).toContain('was made before 1 of these jobs was finished and has learnt from the others');
    expect(says.slice(says.indexOf('No kind'))).not.toMatch(/(?<![\d.,])1 (jobs|times|vehicles) /);
  });

  it('is one job that the fit in use was learnt from, and one pass that is doubted', async () => {
    const inUse = { fitId: '', status: 'published', reason: null, finishedAt: new Date(0), nJobs: 1 } as const;
    const page = { fits: [], isOwner: false, runningId: undefined, said: undefined, older: undefined };
    expect(plain(await (<FitsPage {...page} inUse={inUse} formats={formats} />))).toContain(
      'learnt from 1 finished job.',
    );
    const expected = { p05: 2, p50: 3, p95: 5 };
    const doubt = { reason: '', figure: 'passes', leftOutOf: ['passes'], seen: 1, expected } as const;
    const record = { ref: 'A', finishedAt: '2025-01-01T00:00:00Z', doubts: [doubt], says: '' };
    const report = { answer: '', records: [{ ...record, state: 'open', canBeConfirmed: true } as const] };
    const says = plain(await (<Doubtful report={report} jobs={[]} formats={formats} />));
    expect(says).toContain('1 pass on one part; 2 to 5 was to be expected');
    expect(says).toContain('It is left out of what is learnt on passes.');
    const odd = { ...record, doubts: [{ ...doubt, leftOutOf: [] }], state: 'open', canBeConfirmed: true } as const;
    const ofOdd = plain(await (<Doubtful report={{ answer: '', records: [odd] }} jobs={[]} formats={formats} />));
    expect(ofOdd).toContain('It is learnt from all the same.');
  });
});
