import { type KindBy, kindsBy } from '../insight/quotes/kinds.ts';
import type { QuotesReport } from '../insight/quotes/report.ts';
import { NumberField, SelectField } from './fields.tsx';
import { NumbersTable } from './figure.tsx';
import { intervalOf, ninetyPercent, withRange } from './findings-words.ts';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { IntervalFigure } from './interval-figure.tsx';
import { Notice } from './notice.tsx';
import { wordsFor } from './words.ts';

interface QuotesProps {
  readonly report: QuotesReport;
  readonly by: KindBy;
  readonly form: FormState;
  readonly formats: Formats;
}

const sortedBy: Readonly<Record<KindBy, string>> = {
  bodyStyle: 'body style',
  heaviestSoil: 'heaviest soil',
  mainFabric: 'main fabric',
  mainMethod: 'main method',
  seats: 'seats out or in',
};

export const kindNames = Object.keys(kindsBy) as KindBy[]; // Object.keys forgets the names it gives

/** Are our quotes right? */
export function QuotesPage({ report, by, form, formats }: QuotesProps) {
  return (
    <>
      <p class="answer">{report.answer}</p>
      {report.quotedJobs > 0 && <Kinds report={report} by={by} formats={formats} />}
      <form method="get" action="/findings/quotes" class="stack no-print">
        <div class="row">
          <SelectField
            form={form}
            name="by"
            label="Jobs sorted by"
            options={kindNames.map((name) => [name, sortedBy[name]] as const)}
            initial={by}
          />
          <NumberField
            form={form}
            name="risk"
            label="Of 100 jobs, how many may run over"
            initial={Math.round(100 * report.risk)}
          />
          <button type="submit">Show</button>
        </div>
      </form>
      {report.quotedJobs > 0 && <Replay report={report} formats={formats} />}
      <Followed report={report} formats={formats} />
      <p>
        <a href="/price-list">A price list whose hours hold</a>
      </p>
    </>
  );
}

function Kinds({ report, by, formats }: Omit<QuotesProps, 'form'>) {
  const kinds = report.byKind[by];
  const times = (value: number) => `${formats.number(value, 2)} ×`;
  return (
    <>
      <IntervalFigure
        title={`Hours taken for each hour quoted, by ${sortedBy[by]}`}
        alternative={kinds
          .map(({ kind, takenOverQuoted }) => `${wordsFor(kind)}: ${withRange(takenOverQuoted, times)}`)
          .join('; ')}
        lines={kinds.map(({ kind, takenOverQuoted }) => intervalOf(wordsFor(kind), takenOverQuoted))}
        axis="hours taken ÷ hours quoted"
        tickFormat={(value) => formats.number(value, 2)}
        marks={[{ at: 1, label: 'as quoted' }]}
        table={{
          columns: [
            'Kind of job',
            'Quoted jobs',
            'Ran over',
            'Share that runs over',
            'Taken for each hour quoted',
            'Median quote',
            'Quote instead',
          ],
          rows: kinds.map((one) => [
            wordsFor(one.kind),
            formats.number(one.jobs),
            formats.number(one.over),
            withRange(one.shareOver, (share) => formats.share(share)),
            withRange(one.takenOverQuoted, times),
            formats.hours(one.medianQuotedHours),
            formats.hours(one.hoursToQuote),
          ]),
          csv: '/findings/quotes.csv',
        }}
      >
        <p>
          {ninetyPercent} Right of the line a job takes longer than it was quoted. Kinds with few jobs lean on the
          others, so that three jobs do not shout.
        </p>
      </IntervalFigure>
      <h2>What to change</h2>
      <ul>
        {kinds.map(({ says }) => (
          <li>{says}</li>
        ))}
      </ul>
    </>
  );
}

function Replay({ report: { replay, risk }, formats }: { report: QuotesReport; formats: Formats }) {
  const { asQuoted, asEstimated, jobs, ofQuotedJobs, difference } = replay;
  const left = formats.money(Math.abs(difference));
  return (
    <>
      <h2>Had the program quoted</h2>
      <p>
        Over {formats.number(jobs)} of the {formats.number(ofQuotedJobs)} jobs quoted in the last year, quotes that run
        over in {formats.number(100 * risk)} of 100 would have {difference >= 0 ? 'brought' : 'given up'} {left}{' '}
        {difference >= 0 ? 'that was left on the table.' : 'for fewer surprises.'}
      </p>
      <NumbersTable
        caption="In sum over these jobs"
        table={{
          columns: ['The quotes', 'Ran over', 'Hours quoted', 'Hours taken', 'Quoted less taken, in money'],
          rows: [['As they were quoted', asQuoted] as const, ['As the program would have', asEstimated] as const].map(
            ([name, sums]) => [
              name,
              formats.number(sums.over),
              formats.hours(sums.quotedMinutes / 60),
              formats.hours(sums.takenMinutes / 60),
              formats.money(sums.money),
            ],
          ),
        }}
      />
      <Notice kind="note">
        <p>
          The program has learnt from these very jobs, so it does a little better here than it will tomorrow. The{' '}
          <a href="/findings/track-record">track record</a> tells how it does on jobs it had not seen.
        </p>
      </Notice>
    </>
  );
}

function Followed({ report: { followed }, formats }: { report: QuotesReport; formats: Formats }) {
  const { returnTimes, says } = followed;
  return (
    <>
      <h2>Estimates given here, and what came</h2>
      <p>{says}</p>
      {returnTimes.jobs > 0 && (
        <p>
          Vehicles promised with nine chances in ten: {formats.number(returnTimes.dryByP90)} of{' '}
          {formats.number(returnTimes.jobs)} were found dry by then,{' '}
          {withRange(returnTimes.shareDryByP90, (share) => formats.share(share))}.
        </p>
      )}
    </>
  );
}
