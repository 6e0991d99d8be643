import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { type FormEntry, lengthOf } from './job-entries.ts';
import { JobForm } from './job-form.tsx';
import { Notice } from './notice.tsx';
import { jobHref, mendHref } from './records-links.ts';
import { checksIn } from './records-mend.ts';
import type { ShopLists } from './records-words.ts';

interface MendProps {
  readonly jobRef: string;
  readonly form: FormState;
  readonly entries: readonly FormEntry[];
  readonly lists: ShopLists;
  readonly formats: Formats;
  /** The state of the record that storing replaces. */
  readonly version: string;
  /** Where somebody else changed it since it was opened: what they changed. */
  readonly meanwhile?: readonly string[] | undefined;
}

/** A finished job with all that is noted of it, to be put right. */
export function Mend({ jobRef, form, entries, lists, formats, version, meanwhile }: MendProps) {
  return (
    <>
      {meanwhile && <Meanwhile jobRef={jobRef} changes={meanwhile} />}
      <JobForm
        form={form}
        formats={formats}
        {...lists}
        nSections={lengthOf(entries, 'sections')}
        nPeople={Math.max(1, lengthOf(entries, 'labour'))}
        action={mendHref(jobRef)}
        submit={meanwhile ? 'Store mine all the same' : 'Store'}
        whole={{ nChecks: checksIn(entries) }}
      >
        <input type="hidden" name="version" value={version} />
      </JobForm>
      <p class="alone">
        <a href={jobHref(jobRef)}>Back without storing</a>
      </p>
    </>
  );
}

function Meanwhile({ jobRef, changes }: { jobRef: string; changes: readonly string[] }) {
  return (
    <Notice kind="caution">
      <p role="alert">
        Somebody else changed this job while you had it open. Nothing of yours is stored yet; it stands below as you
        typed it.
      </p>
      {changes.length > 0 && (
        <>
          <p>They changed:</p>
          <ul>
            {changes.map((change) => (
              <li>{change}</li>
            ))}
          </ul>
        </>
      )}
      <p>
        Put into the form what of it should stay, then store; or <a href={jobHref(jobRef)}>leave theirs as it is</a>.
        Either way both are kept among the versions.
      </p>
    </Notice>
  );
}

interface TakeOutProps {
  readonly jobRef: string;
  readonly version: string;
  readonly says: string;
  readonly changed: boolean;
}

/** Asks once more before a job is taken out. */
export function TakeOut({ says, version, changed, jobRef }: TakeOutProps) {
  return (
    <>
      {changed && (
        <Notice kind="caution">
          <p role="alert">Somebody changed this job since you opened the page. It is still there; look again.</p>
        </Notice>
      )}
      <p class="answer">{says}</p>
      <p>
        From the next night on no figure reads it, and it stands in no list. What it held stays readable under its
        number.
      </p>
      <form class="ways-on" method="post">
        <input type="hidden" name="version" value={version} />
        <button type="submit">Take it out</button>
        <a href={jobHref(jobRef)}>Leave it as it is</a>
      </form>
    </>
  );
}
