import type { Formats } from './format.ts';
import { Counts, type ImportReport, jobs, Problems } from './import-report.tsx';
import { ImportSteps } from './import-steps.tsx';
import { Notice } from './notice.tsx';

export interface ImportCheckProps {
  readonly base: string;
  readonly fileName: string;
  readonly report: ImportReport;
  /** Named in the file and not on the shop's lists. */
  readonly technicians: readonly string[];
  readonly machines: readonly string[];
  readonly createMissing: boolean;
  /** The first rows as they are read, our headings first. */
  readonly sample: readonly (readonly string[])[];
  readonly formats: Formats;
}

/** What would become of the file, before anything is stored. */
export function ImportCheck(props: ImportCheckProps) {
  const { base, fileName, report, formats, sample } = props;
  return (
    <>
      <ImportSteps base={base} at="check" fileName={fileName} />
      <p class="answer">{answer(report, formats)} Nothing is stored yet.</p>
      <Counts report={report} formats={formats} isDry />
      <Missing {...props} />
      {report.accepted > 0 && (
        <form method="post" action={`${base}/take-in`}>
          <button type="submit">Take in {jobs(report.accepted, formats)}</button>
        </form>
      )}
      <Problems report={report} formats={formats} />
      <Sample rows={sample} />
      <form method="post" action={`${base}/forget`}>
        <button type="submit" class="second">
          Drop this file
        </button>
      </form>
    </>
  );
}

function answer({ accepted, rejected, conflicting, unchanged }: ImportReport, formats: Formats): string {
  if (accepted + rejected + conflicting === 0)
    return unchanged > 0 ? `All ${jobs(unchanged, formats)} are here already.` : 'There is no job in this file.';
  const bad = rejected + conflicting;
  const rest = bad === 0 ? 'and none is in the way' : `and ${jobs(bad, formats)} cannot be`;
  return `${jobs(accepted, formats)} can be taken in, ${rest}.`;
}

function Missing({ base, technicians, machines, createMissing }: ImportCheckProps) {
  if (technicians.length + machines.length === 0) return null;
  return (
    <Notice kind={createMissing ? 'note' : 'caution'}>
      {createMissing ? (
        <p>
          These come onto your lists as the file is taken in; machines as of standard grade, which you can change later.
        </p>
      ) : (
        <p>The file names people or machines that are not on your lists. Their jobs are refused until they are.</p>
      )}
      {technicians.length > 0 && <p>Technicians: {technicians.join(', ')}</p>}
      {machines.length > 0 && <p>Machines: {machines.join(', ')}</p>}
      <form method="post" action={`${base}/missing`}>
        <button type="submit" class="second" name="createMissing" value={createMissing ? 'no' : 'yes'}>
          {createMissing ? 'Do not add them' : 'Add them to the lists'}
        </button>
      </form>
    </Notice>
  );
}

function Sample({ rows: [header, ...rows] }: { rows: readonly (readonly string[])[] }) {
  if (!header || rows.length === 0) return null;
  return (
    <details>
      <summary>The first rows as they are read</summary>
      <section class="scroll" tabindex={0} aria-label="The first rows as they are read">
        <table>
          <thead>
            <tr>
              {header.map((name) => (
                <th scope="col" class="words">
                  {name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((cells) => (
              <tr>
                {cells.map((cell) => (
                  <td class="words">{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </details>
  );
}
