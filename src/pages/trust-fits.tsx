import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { FitsFigure } from './trust-fits-figure.tsx';
import { counted } from './words.ts';

/** One fit, as the history tells of it. */
export interface FitLine {
  readonly fitId: string;
  readonly status: 'published' | 'superseded' | 'refused' | 'failed' | 'withdrawn';
  readonly reason: string | null;
  readonly finishedAt: Date;
  readonly nJobs: number;
}

/** In words what became of a fit. */
export const statusWords: Readonly<Record<FitLine['status'], string>> = {
  published: 'in use',
  superseded: 'replaced by a later one',
  refused: 'not published',
  failed: 'could not be made',
  withdrawn: 'withdrawn by hand',
};

interface FitsProps {
  readonly fits: readonly FitLine[];
  /** The one in use, which may be older than the page goes back. */
  readonly inUse: FitLine | undefined;
  readonly isOwner: boolean;
  readonly runningId: string | undefined;
  readonly said: keyof typeof saidWords | undefined;
  /** The address of the next page of the history. */
  readonly older: string | undefined;
  readonly formats: Formats;
}

/** What was learnt, night after night, and what became of it. */
export function FitsPage({ fits, inUse, isOwner, runningId, said, older, formats }: FitsProps) {
  return (
    <>
      <p class="answer">{inUseWords(inUse, formats)}</p>
      {said && (
        <Notice kind="done">
          <p>{saidWords[said]}</p>
        </Notice>
      )}
      {runningId ? (
        <Notice kind="note">
          <p>
            The program is learning right now. <a href={`/findings/fits/${runningId}`}>See how far it is</a>
          </p>
        </Notice>
      ) : (
        isOwner && <LearnNow />
      )}
      {fits.length === 0 && <p>Nothing has been learnt yet: the first night after the first job does it.</p>}
      {fits.length > 1 && <FitsFigure fits={fits} formats={formats} />}
      {fits.length > 0 && <History fits={fits} formats={formats} />}
      {older && (
        <p class="alone">
          <a href={older}>Older ones</a>
        </p>
      )}
    </>
  );
}

export const saidWords = {
  unchanged: 'Nothing has changed since it learnt last: there is nothing new to learn.',
  busy: 'The program is learning already, started elsewhere: the outcome will stand here when it is done.',
  ended:
    'That run ended without a new fit: nothing had changed since it learnt last, or it broke down and the log says why.',
} as const;

function inUseWords(inUse: FitLine | undefined, formats: Formats): string {
  return inUse === undefined
    ? 'No fit is in use: estimates come from the rules of thumb alone.'
    : `Estimates come from the fit of ${formats.date(inUse.finishedAt)}, learnt from ${counted(inUse.nJobs, 'finished job', formats)}.`;
}

function LearnNow() {
  return (
    <form method="post" action="/findings/fits">
      <p>
        <button type="submit" class="second">
          Learn now
        </button>{' '}
        <span class="soft">The night does it by itself; by day it takes some seconds.</span>
      </p>
    </form>
  );
}

function History({ fits, formats }: { fits: readonly FitLine[]; formats: Formats }) {
  return (
    <>
      <section class="scroll" tabindex={0} aria-label="The history">
        <table class="folds">
          <caption>The history, latest first; a fit is what the program makes of all finished jobs</caption>
          <thead>
            <tr>
              <th scope="col">Learnt</th>
              <th scope="col">Jobs</th>
              <th scope="col" class="words">
                What became of it
              </th>
              <th scope="col" class="words">
                Why
              </th>
            </tr>
          </thead>
          <tbody>
            {fits.map(({ fitId, finishedAt, nJobs, status, reason }) => (
              <tr>
                <th scope="row">
                  <a href={`/findings/fits/${fitId}`}>
                    {formats.date(finishedAt)}, {formats.time(finishedAt)}
                  </a>
                </th>
                <td data-label="Jobs">{formats.number(nJobs)}</td>
                <td class="words" data-label="What became of it">
                  {statusWords[status]}
                </td>
                <td class="words" data-label="Why">
                  {reason ?? '–'}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p class="alone">
        <a href="/findings/fits.csv" download>
          These numbers as CSV
        </a>
      </p>
    </>
  );
}
