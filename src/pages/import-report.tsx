import type { Doubt } from '../domain/doubts.ts';
import type { Fault } from '../domain/faults.ts';
import { shown } from '../domain/faults.ts';
import type { Formats } from './format.ts';
import { LineTable, mostShown } from './import-lines.tsx';
import { targetLabel } from './import-words.ts';
import { counted } from './words.ts';

/** What became of a file, or would become of it. */
export interface ImportReport {
  readonly accepted: number;
  readonly unchanged: number;
  readonly conflicting: number;
  readonly rejected: number;
  readonly doubtful: number;
  /** The first of these; files taken in before they were told have none. */
  readonly doubtfulRecords?: readonly {
    readonly line: number;
    readonly ref: string;
    readonly doubts: readonly Doubt[];
  }[];
  readonly problems: readonly ImportProblem[];
  readonly problemsLeftOut?: number;
  /** Where the file could not be read to its end. */
  readonly brokeOff?: string;
}

interface ImportProblem {
  readonly line: number;
  readonly ref?: string;
  readonly errors: readonly (Fault & { readonly line?: number })[];
}

/** The counts, each with what it means. */
export function Counts({ report, formats, isDry }: { report: ImportReport; formats: Formats; isDry: boolean }) {
  const { accepted, unchanged, conflicting, rejected, doubtful } = report;
  const rows: readonly (readonly [string, number, string])[] = [
    [isDry ? 'New, would be stored' : 'New, stored', accepted, 'their number is not known here yet'],
    ['There already', unchanged, 'the same in every field; nothing changes'],
    ['In conflict', conflicting, 'their number is known here with other content, which stays'],
    ['Refused', rejected, 'something in them is wrong; see below'],
  ];
  return (
    <>
      <dl class="figures import-counts">
        {rows.map(([label, count, means]) => (
          <div>
            <dt>{label}</dt>
            <dd>{counted(count, 'job', formats)}</dd>
            <dd class="soft">{means}</dd>
          </div>
        ))}
      </dl>
      {doubtful > 0 && (
        <p>
          {counted(doubtful, 'job', formats)} of those without fault {doubtful === 1 ? 'is' : 'are'} doubtful: kept, and
          learnt from but for what cannot be, such as more water got back than put down, until somebody mends it.
        </p>
      )}
    </>
  );
}

/** Every problem by its line. */
export function Problems({ report, formats }: { report: ImportReport; formats: Formats }) {
  const { problems, problemsLeftOut = 0 } = report;
  const lines = problems.flatMap(({ line, ref, errors }) =>
    errors.map((fault) => ({
      line: fault.line ?? line,
      cells: [
        ref ?? '–',
        fieldInWords(fault.field),
        fault.value === undefined ? '–' : shown(fault.value),
        faultInWords(fault),
      ],
    })),
  );
  if (lines.length === 0) return null;
  const left = problemsLeftOut + Math.max(0, lines.length - mostShown);
  return (
    <>
      <h2>What is in the way, line by line</h2>
      <p>Mend them in your sheet and send it again, or leave them: the other lines are taken without them.</p>
      <LineTable
        label="Problems by line"
        headings={['Job', 'Field', 'What stands there', 'What is wrong, what is allowed']}
        lines={lines}
        formats={formats}
      />
      {left > 0 && (
        <p>
          {formats.number(left)} more {left === 1 ? 'is' : 'are'} not listed; mend these first.
        </p>
      )}
    </>
  );
}

/** As the step before named it, where it did. */
function fieldInWords(field: string): string {
  if (field === 'labour') return 'Labour'; // whether told in one column or in two
  return field === '' || field === 'this' ? '–' : targetLabel(field);
}

/** For people: what to send to an address is no matter of theirs. */
function faultInWords({ field, message }: Fault): string {
  const plain = message
    .replace(/; PUT with If-Match .*$/, '')
    .replace(/: a key on the shop's list of (\w+)/, ': not on your list of $1');
  return field !== '' && plain.startsWith(`${field} `) ? fieldInWords(field) + plain.slice(field.length) : plain;
}
