import { doubtsOf, type ModelName } from '../domain/doubts.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { DoubtfulRecord, DoubtfulReport, RecordDoubt } from '../insight/doubtful.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { doubtInWords, leftOutInWords } from './records-doubt-words.ts';
import { jobHref, mendHref } from './records-links.ts';
import { workInWords } from './records-words.ts';
import { capital } from './words.ts';

interface DoubtfulProps {
  readonly report: DoubtfulReport;
  readonly jobs: readonly FinishedJob[];
  readonly formats: Formats;
  /** The job that was just confirmed. */
  readonly confirmed?: string | undefined;
}

/** The jobs that the latest night did not believe or found odd: what was to be expected, and two ways to set it right. */
export function Doubtful({ report: { answer, records }, jobs, formats, confirmed }: DoubtfulProps) {
  return (
    <>
      {confirmed !== undefined && (
        <Notice kind="done">
          <p>Job {confirmed} is confirmed. From the next night on it is read as it stands, until somebody mends it.</p>
        </Notice>
      )}
      <p class="answer">{answer}</p>
      <ul class="cards">
        {records.map((record) => (
          <li>
            <One record={record} job={jobs.find(({ ref }) => ref === record.ref)} formats={formats} />
          </li>
        ))}
      </ul>
    </>
  );
}

function One(props: { record: DoubtfulRecord; job: FinishedJob | undefined; formats: Formats }) {
  const { record, job, formats } = props;
  const { ref, finishedAt, doubts, state } = record;
  return (
    <>
      <h2>
        <a href={jobHref(ref)}>Job {ref}</a>
      </h2>
      <p>
        {job && `${workInWords(job)}; `}ended {formats.date(new Date(finishedAt))}.
      </p>
      <ul>
        {doubts.map((doubt) => (
          <li>
            {reasonInWords(doubt, job, formats)} {leftOutInWords(doubt.leftOutOf) || 'It is learnt from all the same.'}
          </li>
        ))}
      </ul>
      {state === 'open' ? <WaysOut record={record} /> : <p>It was {state} since: the next night reads it anew.</p>}
    </>
  );
}

function WaysOut({ record: { ref, canBeConfirmed } }: { record: DoubtfulRecord }) {
  return (
    <form class="row" method="post" action="/records/doubtful/confirm">
      <input type="hidden" name="ref" value={ref} />
      <a class="button" href={mendHref(ref)} aria-label={`Mend it: job ${ref}`}>
        Mend it
      </a>
      {canBeConfirmed && (
        <button type="submit" class="second" aria-label={`It was so: confirm job ${ref}`}>
          It was so
        </button>
      )}
    </form>
  );
}

/** In the shop's units where it is a figure; what contradicts itself in the words of the job's own page. */
function reasonInWords(doubt: RecordDoubt, job: FinishedJob | undefined, formats: Formats): string {
  const { reason, seen, expected, figure } = doubt;
  if (seen === undefined || expected === undefined) {
    const own = job && doubtsOf(job).find(({ message }) => message === reason);
    return capital(own ? doubtInWords(own, job) : reason.replace(/\.?$/, '.'));
  }
  const { amount, said, look } = figures[figure];
  const [least, most] = [amount(expected.p05, formats), amount(expected.p95, formats)];
  const range = least === most ? most : `${least} to ${most}`;
  const what = said(amount(seen, formats), seen > expected.p95);
  return `${capital(what)}; ${range} was to be expected in 9 of 10 such jobs. ${look}`;
}

interface FigureWords {
  readonly amount: (value: number, formats: Formats) => string;
  readonly said: (amount: string, isMore: boolean) => string;
  readonly look: string;
}

const figures: Readonly<Record<ModelName, FigureWords>> = {
  passes: {
    amount: (value, formats) => formats.number(value, Number.isInteger(value) ? 0 : 1),
    said: (amount) => `${amount} ${amount === '1' ? 'pass' : 'passes'} on one part`,
    look: 'Are the passes, the soil and the result as they were?',
  },
  labour: {
    amount: (value, formats) => formats.hours(value),
    said: (amount) => `${amount} of work`,
    look: 'Were minutes typed as hours, or a digit too many?',
  },
  water: {
    amount: (value, formats) => formats.quantity('litresPerM2', value),
    said: (amount) => `${amount} of water left in`,
    look: 'Was a tank misread, or a refill not counted?',
  },
  drying: {
    amount: (value, formats) => formats.hours(value),
    said: (amount, isMore) => (isMore ? `still wet after ${amount}` : `dry within ${amount}`),
    look: 'Are the hours of the checks and the litres as they were?',
  },
};
