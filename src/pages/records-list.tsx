import type { FinishedJob } from '../domain/record.ts';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { RecordFilterForm } from './records-filter.tsx';
import { jobHref } from './records-links.ts';
import { crewInWords, extractorInWords, hoursOf, type ShopLists, workInWords } from './records-words.ts';

/** A number of jobs, counted no further than makes a difference to whoever reads it. */
export interface JobCount {
  readonly jobs: number;
  readonly orMore: boolean;
}

interface RecordListProps {
  readonly form: FormState;
  readonly lists: ShopLists;
  readonly formats: Formats;
  /** Undefined where the filter could not be read. */
  readonly found: FoundJobs | undefined;
}

export interface FoundJobs {
  readonly jobs: readonly FinishedJob[];
  readonly matching: JobCount;
  readonly all: JobCount;
  readonly filtered: boolean;
  /** The address of the older ones, and of the newest where these are not. */
  readonly older: string | undefined;
  readonly newest: string | undefined;
  readonly mayImport: boolean;
}

/** The shop's finished jobs, the newest first, with a filter above them. */
export function RecordList({ form, lists, formats, found }: RecordListProps) {
  return (
    <>
      <RecordFilterForm form={form} lists={lists} />
      {found && <Found {...found} lists={lists} formats={formats} />}
    </>
  );
}

function Found({
  jobs,
  lists,
  formats,
  older,
  newest,
  mayImport,
  ...counted
}: FoundJobs & Omit<RecordListProps, 'form' | 'found'>) {
  return (
    <section>
      <h2 class="answer">{countInWords(counted, formats)}</h2>
      {counted.all.jobs === 0 && <FirstJobs mayImport={mayImport} />}
      {jobs.length > 0 && <JobTable {...{ jobs, lists, formats }} />}
      <p class="row">
        {newest && <a href={newest}>Back to the newest</a>}
        {older && <a href={older}>Older jobs</a>}
      </p>
    </section>
  );
}

function countInWords(
  { matching, all, filtered }: Pick<FoundJobs, 'matching' | 'all' | 'filtered'>,
  formats: Formats,
): string {
  const words = ({ jobs, orMore }: JobCount) => `${orMore ? 'more than ' : ''}${formats.number(jobs)}`;
  const total = `${words(all)} ${all.jobs === 1 ? 'job' : 'jobs'}`;
  if (all.jobs === 0) return 'No job is recorded yet.';
  if (!filtered) return `${total}, newest first`;
  if (matching.jobs === 0) return `None of the ${total} is of this kind.`;
  return `${words(matching)} of ${total}, newest first`;
}

function FirstJobs({ mayImport }: { mayImport: boolean }) {
  const spreadsheet = 'out of a spreadsheet';
  return (
    <p>
      Finished jobs come from the bay, one by one, or all at once{' '}
      {mayImport ? <a href="/import">{spreadsheet}</a> : `${spreadsheet}, which the owner can take in`}.
    </p>
  );
}

function JobTable({ jobs, lists, formats }: { jobs: readonly FinishedJob[]; lists: ShopLists; formats: Formats }) {
  return (
    <section class="scroll" tabindex={0} aria-label="Jobs">
      <table class="jobs">
        <thead>
          <tr>
            <th scope="col">Job</th>
            <th scope="col" class="words">
              Finished
            </th>
            <th scope="col" class="words">
              Work
            </th>
            <th scope="col">Took, person-hours</th>
            <th scope="col">Quoted</th>
            <th scope="col" class="words">
              By
            </th>
            <th scope="col" class="words">
              Extractor
            </th>
          </tr>
        </thead>
        <tbody>
          {jobs.map((job) => (
            <JobRow {...{ job, lists, formats }} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function JobRow({ job, lists, formats }: { job: FinishedJob; lists: ShopLists; formats: Formats }) {
  const hours = (value: number) => `${formats.number(value, 1)} h`;
  const { ref, finishedAt, quoted } = job;
  return (
    <tr>
      <th scope="row">
        <a href={jobHref(ref)}>{ref}</a>
      </th>
      <td class="words when">{formats.date(new Date(finishedAt))}</td>
      <td class="words work">{workInWords(job)}</td>
      <td data-label="Took">{hours(hoursOf(job))}</td>
      <td data-label="Quoted">{quoted?.hours === undefined ? '–' : hours(quoted.hours)}</td>
      <td class="words" data-label="By">
        {crewInWords(job, lists)}
      </td>
      <td class="words" data-label="Extractor">
        {extractorInWords(job, lists)}
      </td>
    </tr>
  );
}
