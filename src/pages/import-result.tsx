import type { Formats } from './format.ts';
import { Doubts } from './import-doubts.tsx';
import { Counts, type ImportReport, Problems } from './import-report.tsx';
import { Notice } from './notice.tsx';
import { counted } from './words.ts';

/** How far a file is: being taken in, broken off, or done. */
export type ImportProgress =
  | { readonly kind: 'going'; readonly line: number; readonly lines: number }
  | { readonly kind: 'broken'; readonly line: number; readonly lines: number }
  | { readonly kind: 'done'; readonly report: ImportReport };

interface ResultProps {
  readonly base: string;
  readonly fileName: string;
  readonly progress: ImportProgress;
  readonly formats: Formats;
}

export function ImportResult({ base, fileName, progress, formats }: ResultProps) {
  if (progress.kind === 'done') return <Done fileName={fileName} report={progress.report} formats={formats} />;
  const { line, lines, kind } = progress;
  const far = `line ${formats.number(line)} of ${formats.number(lines)}`;
  if (kind === 'broken') return <Broken base={base} far={far} />;
  return (
    <>
      <p class="answer" role="status">
        {fileName}: {far}
      </p>
      <progress class="import-progress" value={line} max={lines} aria-label={`Taken in up to ${far}`} />
      <p>
        This page looks again by itself. You can leave it: the work goes on, and <a href="/import">the list of files</a>{' '}
        leads back here.
      </p>
    </>
  );
}

function Broken({ base, far }: { base: string; far: string }) {
  return (
    <>
      <Notice kind="caution">
        <p>The work broke off after {far}. What was stored is whole and stays; nothing is stored twice.</p>
      </Notice>
      <form method="post" action={`${base}/take-in`}>
        <button type="submit">Take in the rest</button>
      </form>
    </>
  );
}

function Done({ fileName, report, formats }: { fileName: string; report: ImportReport; formats: Formats }) {
  return (
    <>
      {report.brokeOff === undefined ? (
        <p class="answer" role="status">
          {fileName} is taken in: {counted(report.accepted, 'job', formats)} stored.
        </p>
      ) : (
        <Notice kind="caution">
          <p>
            {counted(report.accepted, 'job', formats)} stored, then {fileName} could not be read on: {report.brokeOff}.
          </p>
        </Notice>
      )}
      <Counts report={report} formats={formats} isDry={false} />
      <p class="ways-on">
        <a class="button" href="/records">
          To all jobs
        </a>
        <a href="/import">Another file</a>
      </p>
      <Problems report={report} formats={formats} />
      <Doubts report={report} formats={formats} />
    </>
  );
}
