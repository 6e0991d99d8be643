import { type QuotesReport, quotesSentence } from '../insight/quotes/report.ts';
import { oneIn } from './desk-words.ts';
import { FaultSummary, NumberField } from './fields.tsx';
import { NumbersTable } from './figure.tsx';
import { QuotesFigure, standOut } from './findings-quotes-figure.tsx';
import { shareText } from './findings-words.ts';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { counted } from './words.ts';

interface QuotesProps {
  readonly report: QuotesReport;
  readonly form: FormState;
  readonly formats: Formats;
}

/** Are our quotes right: how often each kind of job runs over, and what would have been had the program quoted. */
export function QuotesPage({ report, form, formats }: QuotesProps) {
  return (
    <>
      <p class="answer">{quotesSentence(report)}</p>
      {report.quotedJobs === 0 ? <NothingQuoted /> : <Compared {...{ report, formats }} />}
      <RiskForm report={report} form={form} />
      {report.quotedJobs > 0 && <Followed {...{ report, formats }} />}
    </>
  );
}

const fewQuotes = 20;

function NothingQuoted() {
  return (
    <p>
      Give estimates at the <a href="/estimate">desk</a> and record the job from them, or write the quoted hours on the
      finished job: then this page tells which kinds of job are quoted too low.
    </p>
  );
}

function Compared({ report, formats }: Omit<QuotesProps, 'form'>) {
  const without = report.jobs - report.quotedJobs;
  return (
    <>
      {report.quotedJobs < fewQuotes && (
        <Notice kind="note">
          <p>
            With so few quotes this can change: the ranges are wide, and a kind with three jobs says next to nothing.
          </p>
        </Notice>
      )}
      <p>{standOut(report).join(' ')}</p>
      {without > 0 && (
        <p class="soft">
          Of {counted(report.jobs, 'job', formats)} finished in the last year {formats.number(without)}{' '}
          {without === 1 ? 'names no quoted hours and is' : 'name no quoted hours and are'} not counted.
        </p>
      )}
      <QuotesFigure report={report} formats={formats} />
      <Replayed {...{ report, formats }} />
    </>
  );
}

/** Asked by address, so that an answer can be kept. */
function RiskForm({ report, form }: Pick<QuotesProps, 'report' | 'form'>) {
  return (
    <form class="filter" method="get" action="/findings/quotes">
      <FaultSummary form={form} />
      <div class="row">
        <NumberField
          form={form}
          name="percent"
          label="How many jobs may run over"
          unit="of 100"
          hint="Another wish than the shop’s own, for this page alone."
          initial={report.risk * 100}
        />
        <button type="submit">Compare</button>
      </div>
    </form>
  );
}

/** What the last year's quotes brought, and what those of the program would have. */
function Replayed({ report: { replay, risk }, formats }: Omit<QuotesProps, 'form'>) {
  if (replay.jobs === 0) return null;
  const { asQuoted, asEstimated, difference, differenceRange: range } = replay;
  const rows = [
    ['As it was quoted', asQuoted] as const,
    [`As the program would quote now, ${oneIn(risk)} to run over`, asEstimated] as const,
  ];
  const moreOrLess = (money: number) => (money >= 0 ? 'more' : 'less');
  const apart = (money: number) => `${formats.money(Math.abs(money))} ${moreOrLess(money)}`;
  const all = counted(replay.ofQuotedJobs, 'job', formats);
  const which = replay.jobs < replay.ofQuotedJobs ? `the latest ${formats.number(replay.jobs)} of ${all}` : all;
  return (
    <>
      <h2>Money left on the table</h2>
      <p>
        Over {which} of the last year, the program’s quotes would have run over{' '}
        {counted(asEstimated.over, 'time', formats)} instead of {formats.number(asQuoted.over)}, for{' '}
        <strong>{formats.money(Math.abs(difference))}</strong> of labour {moreOrLess(difference)} quoted, at the shop’s
        rate for an hour and had every customer said yes.
        {range && (
          <>
            {' '}
            Of as many other such jobs it would be {apart(range.p10)} to {apart(range.p90)}, 8 times in 10: which jobs
            come is chance.
          </>
        )}
      </p>
      <NumbersTable
        caption="The same jobs, quoted two ways; sums of what was quoted and taken"
        table={{
          columns: ['Quotes', 'Ran over', 'Hours quoted', 'Hours taken', 'Quoted less taken', 'The same in money'],
          rows: rows.map(([name, sums]) => [
            name,
            `${formats.number(sums.over)} of ${formats.number(replay.jobs)}`,
            hoursOf(sums.quotedMinutes, formats),
            hoursOf(sums.takenMinutes, formats),
            hoursOf(sums.gapMinutes, formats),
            formats.money(sums.money),
          ]),
        }}
      />
      <p class="soft">
        {learntFromThem(replay, formats)}; the <a href="/findings/track-record">track record</a> tells how it does on
        jobs that it had not seen.
      </p>
    </>
  );
}

/** The fit in use may be older than some of these jobs: published by hand, or followed by none that could be. */
function learntFromThem({ by, notSeen, jobs }: QuotesReport['replay'], formats: Formats): string {
  if (by === 'rules of thumb') return 'No fit is in use: these are the rules of thumb, which know none of these jobs';
  if (notSeen === jobs) return 'The fit in use was made before these jobs were finished, so it knows none of them';
  const better = 'so it does a little better here than it will tomorrow';
  return notSeen === 0
    ? `The program has learnt from these jobs, ${better}`
    : `The fit in use was made before ${formats.number(notSeen)} of these jobs ${notSeen === 1 ? 'was' : 'were'} finished and has learnt from the others, ${better}`;
}

function hoursOf(minutes: number, formats: Formats): string {
  return `${formats.number(minutes / 60, 1)} h`;
}

/** Estimates that were made here, against what came of them. */
function Followed({ report: { followed }, formats }: Omit<QuotesProps, 'form'>) {
  const { jobs, notMadeHere, insideEightOfTen, overQuote, shareInside, returnTimes } = followed;
  return (
    <>
      <h2>Estimates made here</h2>
      {jobs === 0 ? (
        <p>
          No finished job names an estimate{notMadeHere > 0 && ' made here'} yet. Recorded from its estimate, a job is
          followed from there on.
        </p>
      ) : (
        <ul>
          <li>
            Of {counted(jobs, 'job', formats)} {formats.number(insideEightOfTen)} took what the 8-in-10 range said:{' '}
            {shareText(shareInside, formats)}, and {formats.share(0.8)} is right. {formats.number(overQuote)} ran over
            the quoted hours.
          </li>
          <ReturnTimes times={returnTimes} formats={formats} />
        </ul>
      )}
      {notMadeHere > 0 && (
        <p>
          {counted(notMadeHere, 'job', formats)} {notMadeHere === 1 ? 'names' : 'name'} an estimate that was not made
          here: a wrong id, or a record that comes from elsewhere.
        </p>
      )}
    </>
  );
}

function ReturnTimes(props: { times: QuotesReport['followed']['returnTimes']; formats: Formats }) {
  const { times, formats } = props;
  if (times.jobs === 0) return <li>Of none it is known when it was dry: return times cannot be judged yet.</li>;
  return (
    <li>
      Return times: of {counted(times.jobs, 'vehicle', formats)} {formats.number(times.dryByP90)}{' '}
      {times.dryByP90 === 1 ? 'was' : 'were'} found dry by the time that 9 in 10 should keep:{' '}
      {shareText(times.shareDryByP90, formats)}, and {formats.share(0.9)} is right; by the time as likely early as late{' '}
      {formats.number(times.dryByP50)}. A check made late makes a vehicle look dry late.
    </li>
  );
}
