import type { Technician } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { DryingAfterWork } from '../insight/given-estimate.ts';
import { partsOf } from './bay-start.tsx';
import { Waiting } from './bay-waiting.tsx';
import { DryingForecast, dryBetween } from './drying-forecast.tsx';
import { ChoiceField, FaultSummary, NumberField, SelectField } from './fields.tsx';
import { type FormState, freshForm } from './form-input.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { jobHref, mendHref } from './records-links.ts';
import { capital, comebackOptions, damageOptions, headingFor, wordsFor } from './words.ts';

interface RecentProps {
  readonly jobs: readonly FinishedJob[];
  readonly formats: Formats;
  readonly now: Date;
  readonly shopId: string;
  readonly technicians: readonly Technician[];
  /** When those may be dry that nobody has found dry yet, by their numbers. */
  readonly forecasts: ReadonlyMap<string, DryingAfterWork>;
  /** The job that something was just stored of. */
  readonly stored?: FinishedJob | undefined;
  /** A form that could not be taken, and the job it was for. */
  readonly refused?: { readonly ref: string; readonly form: FormState } | undefined;
}

/** The latest jobs, to add what is learnt after the work. */
export function RecentJobs(props: RecentProps) {
  const { jobs, technicians, formats, now, shopId, forecasts, stored, refused } = props;
  const names = new Map(technicians.map(({ key, name }) => [key, name]));
  return (
    <>
      {stored !== undefined && (
        <Notice kind="done">
          <p>Job {stored.ref} is stored.</p>
          <DryingForecast job={stored} forecast={forecasts.get(stored.ref)} formats={formats} />
          <p class="alone">
            <a href={mendHref(stored.ref)}>A slip? Mend it</a>
          </p>
        </Notice>
      )}
      <Waiting shopId={shopId} />
      <p>
        Check the slowest place by hand or meter, and say here what you found. It is by these checks that drying is
        learnt.
      </p>
      {jobs.length === 0 && (
        <p>
          No job is recorded yet. <a href="/jobs/new">Record one</a>: it then stands here for its drying checks.
        </p>
      )}
      <ul class="cards">
        {jobs.map((job, i) => (
          <JobCard
            {...{ job, names, formats, now, i }}
            forecast={job.ref === stored?.ref ? undefined : forecasts.get(job.ref)}
            form={refused?.ref === job.ref ? refused.form : undefined}
          />
        ))}
      </ul>
    </>
  );
}

/** After this a check now says little of when it became dry. */
const checkableHours = 96;

interface CardProps {
  readonly job: FinishedJob;
  /** Of technicians, by key. */
  readonly names: ReadonlyMap<string, string>;
  readonly formats: Formats;
  readonly now: Date;
  readonly forecast: DryingAfterWork | undefined;
  /** Its place in the list. */
  readonly i: number;
  readonly form: FormState | undefined;
}

function JobCard({ job, names, formats, now, forecast, i, form }: CardProps) {
  const finished = new Date(job.finishedAt);
  const hoursSince = (now.getTime() - finished.getTime()) / 3_600_000;
  const checks = job.drying?.checks ?? [];
  const isDry = checks.some(({ dry }) => dry);
  const comeback = job.outcome?.comeback;
  return (
    <li>
      <h2>
        <a href={jobHref(job.ref)}>
          {job.ref}: {headingFor(job.bodyStyle)}
        </a>
      </h2>
      <p>
        {capital(partsOf(job))}. Ended {formats.dateTime(finished)},{' '}
        {job.labour.map(({ technician }) => names.get(technician) ?? technician).join(', ')}.
      </p>
      <p>
        {checks.length === 0
          ? 'No drying check yet.'
          : `${capital(checks.map(({ hours, dry }) => `${dry ? 'dry' : 'still wet'} after ${formats.hours(hours)}`).join('; '))}.`}
        {comeback && comeback !== 'none' && ` Came back with ${wordsFor(comeback)}.`}
        {forecast && ` ${dryBetween(job, forecast, formats)}.`}
      </p>
      {!isDry && hoursSince < checkableHours && (
        <form method="post" action="/jobs/recent" class="row later" data-since={hoursSince}>
          <input type="hidden" name="ref" value={job.ref} />
          <button type="submit" name="dry:flag" value="yes">
            Dry now
          </button>
          <button type="submit" name="dry:flag" value="no" class="second">
            Still wet now
          </button>
        </form>
      )}
      <details open={form !== undefined}>
        <summary>A check at another time, or it came back</summary>
        <LaterForm job={job} hoursSince={hoursSince} form={{ ...(form ?? freshForm), scope: String(i) }} />
      </details>
    </li>
  );
}

const dryOrWet = [
  ['yes', 'dry'],
  ['no', 'still wet'],
] as const;

interface LaterFormProps {
  readonly job: FinishedJob;
  readonly hoursSince: number;
  readonly form: FormState;
}

function LaterForm({ job, hoursSince, form }: LaterFormProps) {
  return (
    <form method="post" action="/jobs/recent" class="stack later" data-since={hoursSince}>
      <FaultSummary form={form} />
      <input type="hidden" name="ref" value={job.ref} />
      <NumberField form={form} name="hours" label="Hours after the work ended" hint="Empty: now." unit="h" />
      <ChoiceField form={form} name="dry" label="The slowest place was" kind="flag" options={dryOrWet} />
      <SelectField form={form} name="comeback" label="Came back with" options={comebackOptions} none="nothing to say" />
      <SelectField form={form} name="damage" label="Damage" options={damageOptions} none="nothing to say" />
      <button type="submit">Store</button>
    </form>
  );
}
