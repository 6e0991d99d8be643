import type { Formats } from './format.ts';
import { type ImportReport, jobs, mostShown } from './import-report.tsx';
import { leftOutInWords, ruleInWords } from './records-doubt-words.ts';
import { capital } from './words.ts';

/** What is doubtful in jobs that are kept. */
export function Doubts({ report, formats }: { report: ImportReport; formats: Formats }) {
  const lines = (report.doubtfulRecords ?? []).flatMap(({ line, ref, doubts }) =>
    doubts.map((doubt) => ({ line, ref, doubt })),
  );
  if (lines.length === 0) return null;
  const left = report.doubtful - new Set(lines.slice(0, mostShown).map(({ line }) => line)).size;
  return (
    <>
      <h2>What is doubtful, line by line</h2>
      <section class="scroll" tabindex={0} aria-label="Doubts by line">
        <table class="import-problems folds">
          <thead>
            <tr>
              <th scope="col">Line</th>
              <th scope="col" class="words">
                Job
              </th>
              <th scope="col" class="words">
                What is doubtful
              </th>
            </tr>
          </thead>
          <tbody>
            {lines.slice(0, mostShown).map(({ line, ref, doubt }) => (
              <tr>
                <th scope="row" data-label="Line">
                  {formats.number(line)}
                </th>
                <td class="words" data-label="Job">
                  {ref}
                </td>
                <td class="words">
                  {capital(ruleInWords(doubt.rule))} {leftOutInWords(doubt.leftOutOf)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {left > 0 && (
        <p>
          {jobs(left, formats)} more {left === 1 ? 'is' : 'are'} not listed.
        </p>
      )}
    </>
  );
}
