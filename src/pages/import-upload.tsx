import { FaultSummary } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';

interface WaitingFile {
  readonly href: string;
  readonly fileName: string;
  readonly sentAt: Date;
  readonly state: 'waiting' | 'taking' | 'done';
}

interface UploadProps {
  readonly form: FormState;
  readonly files: readonly WaitingFile[];
  readonly largestMegabytes: number;
  readonly formats: Formats;
}

const stateWords = { waiting: 'not taken in yet', taking: 'being taken in', done: 'taken in' } as const;

/** The beginning: a file, or one that was sent before. */
export function ImportUpload({ form, files, largestMegabytes, formats }: UploadProps) {
  return (
    <>
      <p>
        From a spreadsheet saved as CSV. You say which column is what; nothing is stored before you have seen what would
        become of each line. One row is one section of a job; rows of one job stand together. A job that fits one row is
        fine.
      </p>
      <FaultSummary form={form} />
      <form class="stack" method="post" action="/import" enctype="multipart/form-data">
        <div class={form.fault('file') ? 'field is-wrong' : 'field'}>
          <label for="field-file">The file</label>
          <p class="hint" id="field-file-hint">
            CSV, parted by commas, semicolons or tabs, in UTF-8, up to {largestMegabytes} MB.
          </p>
          <input
            id="field-file"
            type="file"
            name="file"
            accept=".csv,.txt,.tsv,text/csv,text/plain"
            aria-describedby="field-file-hint"
            required
          />
        </div>
        <button type="submit">Look at it</button>
      </form>
      {files.length > 0 && <Files files={files} formats={formats} />}
    </>
  );
}

function Files({ files, formats }: Pick<UploadProps, 'files' | 'formats'>) {
  return (
    <>
      <h2>Sent before</h2>
      <p>A file is kept for a day at the most, and goes once it is taken in; what became of it stays that day.</p>
      <ul class="ways">
        {files.map(({ href, fileName, sentAt, state }) => (
          <li>
            <a href={href}>
              {fileName}, {formats.dateTime(sentAt)}: {stateWords[state]}
            </a>
          </li>
        ))}
      </ul>
    </>
  );
}
