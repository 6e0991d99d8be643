import type { Doubt } from '../domain/doubts.ts';
import type { FinishedJob } from '../domain/record.ts';
import { mayDo, type Role } from '../domain/vocabulary.ts';
import { ranOver } from '../insight/actual-hours.ts';
import type { DryingAfterWork } from '../insight/given-estimate.ts';
import { DryingForecast } from './drying-forecast.tsx';
import { Notice } from './notice.tsx';
import { doubtInWords, leftOutInWords } from './records-doubt-words.ts';
import { type FactGroup, factsOf, type Telling } from './records-facts.ts';
import { mendHref, takeOutHref } from './records-links.ts';
import { type JobVersions, Versions } from './records-versions.tsx';
import { hoursOf, workInWords } from './records-words.ts';
import { capital } from './words.ts';

interface JobViewProps {
  readonly job: FinishedJob;
  readonly doubts: readonly Doubt[];
  readonly role: Role;
  readonly telling: Telling;
  /** Of its drying, where that is still to come. */
  readonly forecast?: DryingAfterWork | undefined;
  /** What was just done, in words. */
  readonly done?: string | undefined;
  /** Undefined for those who may not read them. */
  readonly versions?: JobVersions | undefined;
}

/** One finished job in full, with the ways to put it right and what it was before. */
export function JobView({ job, doubts, role, telling, forecast, done, versions }: JobViewProps) {
  return (
    <>
      {done && (
        <Notice kind="done">
          <p>{done}</p>
        </Notice>
      )}
      <p class="answer">{workInWords(job)}.</p>
      <p>
        {tookInWords(job, telling)} {dryInWords(job, telling, forecast !== undefined)}
      </p>
      <DryingForecast job={job} forecast={forecast} formats={telling.formats} />
      {doubts.length > 0 && <Doubts job={job} doubts={doubts} />}
      <p class="row">
        <a class="button" href={mendHref(job.ref)}>
          Mend this job
        </a>
        {mayDo(role, 'owner') && (
          <a class="button second" href={takeOutHref(job.ref)}>
            Take it out
          </a>
        )}
        {mayDo(role, 'desk') && job.quoted?.estimate && (
          <a href={`/estimate/${job.quoted.estimate}`}>The estimate that was given for it</a>
        )}
      </p>
      <Facts groups={factsOf(job, telling)} />
      {versions && <Versions {...versions} />}
    </>
  );
}

/** The facts of a record, a card a group. */
export function Facts({ groups }: { groups: readonly FactGroup[] }) {
  return (
    <ul class="cards facts-of-job">
      {groups.map(({ title, facts }) => (
        <li>
          <h2>{title}</h2>
          <dl class="facts">
            {facts.map(({ label, says }) => (
              <>
                <dt>{capital(label)}</dt>
                <dd>{says}</dd>
              </>
            ))}
          </dl>
        </li>
      ))}
    </ul>
  );
}

function Doubts({ job, doubts }: { job: FinishedJob; doubts: readonly Doubt[] }) {
  return (
    <Notice kind="caution">
      <p>{doubts.length === 1 ? 'Something in it is hard to believe:' : 'Some of it is hard to believe:'}</p>
      <ul>
        {doubts.map((doubt) => (
          <li>
            {capital(doubtInWords(doubt, job))} {leftOutInWords(doubt.leftOutOf)}
          </li>
        ))}
      </ul>
    </Notice>
  );
}

function tookInWords(job: FinishedJob, { formats }: Telling): string {
  const took = hoursOf(job);
  const quoted = job.quoted?.hours;
  const said = `It took ${formats.hours(took)} of work, all persons together`;
  if (quoted === undefined) return `${said}; no hours were quoted.`;
  const over = ranOver(took, quoted) ? `${formats.hours(took - quoted)} more than` : 'within';
  return `${said}: ${over} the ${formats.hours(quoted)} quoted.`;
}

function dryInWords({ drying }: FinishedJob, { formats }: Telling, isDrying: boolean): string {
  const checks = drying?.checks ?? [];
  const dry = checks.find((check) => check.dry);
  const wet = checks.findLast((check) => !check.dry);
  if (dry === undefined && wet === undefined)
    return isDrying ? 'Nobody has checked yet whether it is dry.' : 'Nobody checked when it was dry.';
  if (dry === undefined) return `Still wet ${formats.hours(wet?.hours ?? 0)} after the work; not found dry yet.`;
  const until = `found dry ${formats.hours(dry.hours)} after the work`;
  return wet === undefined ? `It was ${until}.` : `It was wet after ${formats.hours(wet.hours)} and ${until}.`;
}
