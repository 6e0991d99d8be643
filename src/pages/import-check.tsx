import { amountText, readAmount, unitsOf } from '../domain/csv-amounts.ts';
import { type CsvMapping, columnOf, leftOut } from '../domain/csv-mapping.ts';
import type { CsvProfile } from '../domain/csv-profile.ts';
import { type Target, targets } from '../domain/csv-targets.ts';
import { rowsWith } from '../domain/csv-words.ts';
import { NumbersTable } from './figure.tsx';
import type { Formats } from './format.ts';
import { Doubts } from './import-doubts.tsx';
import { Counts, type ImportReport, Problems } from './import-report.tsx';
import { ImportSteps } from './import-steps.tsx';
import { inRows, labelWithUnit, targetLabel } from './import-words.ts';
import { Notice } from './notice.tsx';
import { counted } from './words.ts';

interface ImportCheckProps {
  readonly base: string;
  readonly fileName: string;
  readonly report: ImportReport;
  /** Named in the file and not on the shop's lists. */
  readonly technicians: readonly string[];
  readonly machines: readonly string[];
  readonly createMissing: boolean;
  /** The first rows as they are read, our headings first. */
  readonly sample: readonly (readonly string[])[];
  readonly profile: CsvProfile;
  readonly mapping: CsvMapping;
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
      <LeftOut {...props} />
      <UnitsRead {...props} />
      {report.accepted > 0 && (
        <form method="post" action={`${base}/take-in`}>
          <button type="submit">Take in {counted(report.accepted, 'job', formats)}</button>
        </form>
      )}
      <Problems report={report} formats={formats} />
      <Doubts report={report} formats={formats} />
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
  if (accepted + rejected + conflicting === 0) return hereAlready(unchanged, formats);
  const bad = rejected + conflicting;
  const rest = bad === 0 ? 'and none is in the way' : `and ${counted(bad, 'job', formats)} cannot be`;
  return `${counted(accepted, 'job', formats)} can be taken in, ${rest}.`;
}

function hereAlready(unchanged: number, formats: Formats): string {
  if (unchanged === 0) return 'There is no job in this file.';
  return unchanged === 1
    ? 'Its one job is here already.'
    : `All ${counted(unchanged, 'job', formats)} are here already.`;
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

/** What somebody chose to do without, so that it is seen once more before it is lost. */
function LeftOut({ base, profile, mapping }: ImportCheckProps) {
  const without = targets.flatMap((target) => {
    const column = profile.columns[columnOf(mapping, target.name) ?? -1];
    const words = (mapping.words[target.name] ?? []).filter(([, meant]) => meant === leftOut);
    return words.map(([word]) => ({ target, word, rows: column ? rowsWith(target, column, word) : 0 }));
  });
  if (without.length === 0) return null;
  return (
    <Notice kind="caution">
      <p>
        These words are left out. <a href={`${base}/values`}>Say what they mean</a> if that loses something.
      </p>
      <ul>
        {without.map(({ target, word, rows }) => (
          <li>
            {targetLabel(target.name)}: “{word}”. {inRows(rows)}
          </li>
        ))}
      </ul>
    </Notice>
  );
}

/** In which unit each column of numbers is read, by a cell of it: a wrong one makes every job sixty times too long. */
function UnitsRead({ base, profile, mapping, formats }: ImportCheckProps) {
  const read = targets.flatMap((target) => {
    const column = profile.columns[columnOf(mapping, target.name) ?? -1];
    const says = column && unitInWords(target, column.words, mapping, formats);
    return says === undefined ? [] : [{ target, says }];
  });
  if (read.length === 0) return null;
  return (
    <>
      <h2>In which units your file is read</h2>
      <ul>
        {read.map(({ target, says }) => (
          <li>
            {targetLabel(target.name)}: {says}.
          </li>
        ))}
      </ul>
      <p>
        <a href={`${base}/values`}>Change the units</a> where one is not as you meant it.
      </p>
    </>
  );
}

function unitInWords(
  { name, measured }: Target,
  words: readonly string[],
  { units, decimal }: CsvMapping,
  formats: Formats,
): string | undefined {
  if (measured === undefined) return undefined;
  const ours = unitsOf[measured][0].name;
  const unit = units[name] ?? ours;
  const stored = (cell: string) => Number(amountText(cell, { measured, unit, decimal }));
  const cell = words.find((word) => Number.isFinite(stored(word)));
  if (cell === undefined) return undefined;
  const typed = readAmount(cell, decimal);
  const kept = `${amount(stored(cell), formats)} ${ours}`;
  const asRead = typed === undefined || unit === ours ? kept : `${amount(typed, formats)} ${unit}, which makes ${kept}`;
  return `“${cell}” is ${asRead}`;
}

function amount(value: number, formats: Formats): string {
  const short = Number(value.toPrecision(4));
  return formats.number(short, String(short).split('.')[1]?.length ?? 0);
}

/** A line a field: as wide as there are rows, not as there are columns. */
function Sample({ rows: [header, ...rows] }: { rows: readonly (readonly string[])[] }) {
  if (!header || rows.length === 0) return null;
  const columns = ['Field', ...rows.map((_, i) => `Row ${i + 1}`)];
  const lines = header.map((name, at) => [labelWithUnit(name), ...rows.map((cells) => cells[at] || '–')]);
  return (
    <details>
      <summary>The first rows as they are read</summary>
      <NumbersTable caption="The first rows as they are read" table={{ columns, rows: lines }} />
    </details>
  );
}
