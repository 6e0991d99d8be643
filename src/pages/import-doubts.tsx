import type { Formats } from './format.ts';
import { LineTable, mostShown } from './import-lines.tsx';
import type { ImportReport } from './import-report.tsx';
import { leftOutInWords, ruleInWords } from './records-doubt-words.ts';
import { capital, counted } from './words.ts';

/** What is doubtful in jobs that are kept. */
export function Doubts({ report, formats }: { report: ImportReport; formats: Formats }) {
  const lines = (report.doubtfulRecords ?? []).flatMap(({ line, ref, doubts }) =>
    doubts.map(({ rule, leftOutOf }) => ({
      line,
      cells: [ref, `${capital(ruleInWords(rule))} ${leftOutInWords(leftOutOf)}`],
    })),
  );
  if (lines.length === 0) return null;
  const left = report.doubtful - new Set(lines.slice(0, mostShown).map(({ line }) => line)).size;
  return (
    <>
      <h2>What is doubtful, line by line</h2>
      <LineTable label="Doubts by line" headings={['Job', 'What is doubtful']} lines={lines} formats={formats} />
      {left > 0 && (
        <p>
          {counted(left, 'job', formats)} more {left === 1 ? 'is' : 'are'} not listed.
        </p>
      )}
    </>
  );
}
