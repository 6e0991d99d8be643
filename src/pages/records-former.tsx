import type { FinishedJob } from '../domain/record.ts';
import { changesBetween } from './records-changes.ts';
import { factsOf, type Telling } from './records-facts.ts';
import { Facts } from './records-job.tsx';
import { jobHref } from './records-links.ts';
import { type JobVersions, Versions } from './records-versions.tsx';

interface FormerViewProps {
  readonly job: FinishedJob;
  /** Undefined where the job was taken out. */
  readonly present: FinishedJob | undefined;
  readonly telling: Telling;
}

/** A job as it once stood, with what is otherwise today. */
export function FormerView({ job, present, telling }: FormerViewProps) {
  const changes = present === undefined ? [] : changesBetween(job, present, telling);
  return (
    <>
      <p class="answer">
        {present ? 'This is how it once stood.' : 'This job was taken out; this is how it once stood.'}
      </p>
      {changes.length > 0 && (
        <>
          <p>Today it is otherwise in this:</p>
          <ul>
            {changes.map((change) => (
              <li>{change}</li>
            ))}
          </ul>
        </>
      )}
      <p class="alone">
        <a href={jobHref(job.ref)}>{present ? 'The job as it stands' : 'All that is kept of this job'}</a>
      </p>
      <Facts groups={factsOf(job, telling)} />
    </>
  );
}

/** A job that was taken out: what it was is kept. */
export function TakenOut(versions: JobVersions) {
  return (
    <>
      <p class="answer">This job was taken out. No figure reads it any more.</p>
      <Versions {...versions} />
    </>
  );
}
