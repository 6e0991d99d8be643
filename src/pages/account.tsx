import { FaultSummary, TextField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { type OpenSession, SessionList } from './session-list.tsx';

interface AccountProps {
  readonly role: string;
  readonly sessions: readonly OpenSession[];
  readonly current: string;
  readonly formats: Formats;
  readonly form: FormState;
  readonly done?: string | undefined;
}

/** What is one's own: the devices that one is signed in on, and the password. */
export function Account({ role, sessions, current, formats, form, done }: AccountProps) {
  return (
    <>
      {done && (
        <Notice kind="done">
          <p>{done}</p>
        </Notice>
      )}
      <p>Your role is {role}.</p>
      <h2>Where you are signed in</h2>
      <SessionList sessions={sessions} formats={formats} current={current} />
      <form method="post" action="/sign-out-everywhere">
        <button type="submit" class="second">
          Sign out everywhere, here too
        </button>
      </form>
      <h2>Another password</h2>
      <FaultSummary form={form} />
      <form class="stack" method="post" action="/account/password">
        <TextField
          form={form}
          name="former"
          label="The password until now"
          type="password"
          autocomplete="current-password"
          required
        />
        <TextField
          form={form}
          name="password"
          label="The new one"
          hint="At least 10 characters; a short sentence is easy to keep."
          type="password"
          autocomplete="new-password"
          required
        />
        <TextField
          form={form}
          name="again"
          label="The new one once more"
          type="password"
          autocomplete="new-password"
          required
        />
        <button type="submit">Change the password</button>
      </form>
    </>
  );
}
