import type { PlannedJobInput } from '../domain/planned.ts';
import type { FinishedJob } from '../domain/record.ts';
import { bodyStyles } from '../domain/vocabulary.ts';
import { Waiting } from './bay-waiting.tsx';
import { planInWords } from './desk-plan-words.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { areaWords, capital, headingFor, wordsFor } from './words.ts';

/** An estimate that was given, and that no finished job names yet. */
export interface OpenEstimate {
  readonly id: string;
  readonly madeAt: Date;
  readonly plan: PlannedJobInput;
}

interface StartJobProps {
  /** The latest first. */
  readonly estimates: readonly OpenEstimate[];
  /** The latest jobs that differ in what was cleaned, the newest first. */
  readonly like: readonly FinishedJob[];
  readonly formats: Formats;
  readonly shopId: string;
  /** Nobody is on the list of technicians, so that no job could be stored; whether this one may put somebody there. */
  readonly nobody?: { readonly mayAdd: boolean } | undefined;
}

/** The first touch: what the job is like. The form then has its parts filled in. */
export function StartJob({ estimates, like, formats, shopId, nobody }: StartJobProps) {
  return (
    <>
      <Waiting shopId={shopId} />
      {nobody && (
        <Notice kind="caution">
          <p>
            Nobody is on the list of technicians yet, and a job cannot be stored without who did it.{' '}
            {nobody.mayAdd ? <a href="/technicians">Put somebody on it first</a> : 'The owner puts them there'}.
          </p>
        </Notice>
      )}
      {estimates.length > 0 && (
        <section>
          <h2>As estimated</h2>
          <ul class="ways">
            {estimates.map(({ id, madeAt, plan }) => (
              <li>
                <a href={`/jobs/new?estimate=${id}`}>
                  <span>
                    {capital(planInWords(plan))}
                    <span class="soft">, given {formats.dateTime(madeAt)}</span>
                  </span>
                </a>
              </li>
            ))}
          </ul>
        </section>
      )}
      {like.length > 0 && (
        <section>
          <h2>Like one of the last</h2>
          <ul class="ways">
            {like.map((job) => (
              <li>
                <a href={`/jobs/new?like=${encodeURIComponent(job.ref)}`}>
                  <span>
                    {headingFor(job.bodyStyle)}: {partsOf(job)}
                    <span class="soft">, {formats.dayShort(new Date(job.finishedAt))}</span>
                  </span>
                </a>
              </li>
            ))}
          </ul>
        </section>
      )}
      <section>
        <h2>By body style, all seats</h2>
        <ul class="ways tight">
          {bodyStyles.map((style) => (
            <li>
              <a href={`/jobs/new?body=${style}`}>{headingFor(style)}</a>
            </li>
          ))}
        </ul>
      </section>
    </>
  );
}

/** "front seats (2), rear bench; velour" */
export function partsOf({ sections }: Pick<FinishedJob, 'sections'>): string {
  const parts = sections.map(({ area, count }) => areaWords(area, count)).join(', ');
  const fabrics = [...new Set(sections.map(({ fabric }) => wordsFor(fabric)))].join(', ');
  return `${parts}; ${fabrics}`;
}
