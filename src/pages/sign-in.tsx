import { FaultSummary, TextField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import { Notice } from './notice.tsx';

interface SignInProps {
  readonly form: FormState;
  /** Where the page goes on to. */
  readonly back: string;
  /** Several shops share this server, and this browser has not been to any of them yet. */
  readonly asksShop: boolean;
  /** What stands in the way, where it is no single field. */
  readonly trouble?: string | undefined;
}

export function SignIn({ form, back, asksShop, trouble }: SignInProps) {
  return (
    <>
      {trouble && (
        <div class="faults" role="alert">
          <p>{trouble}</p>
        </div>
      )}
      <FaultSummary form={form} />
      <form class="stack" method="post" action="/sign-in">
        <input type="hidden" name="back" value={back} />
        {asksShop && (
          <TextField
            form={form}
            name="shopCode"
            label="Shop code"
            hint="Eight letters and digits; the owner finds them on the page “People”."
            required
            maxlength={9}
          />
        )}
        <TextField form={form} name="signInName" label="Sign-in name" autocomplete="username" required maxlength={40} />
        <TextField
          form={form}
          name="password"
          label="Password"
          type="password"
          autocomplete="current-password"
          required
          maxlength={200}
        />
        <button type="submit">Sign in</button>
      </form>
      <Notice kind="note">
        <p>No password yet, or forgotten? The owner makes a link on the page “People” that lets you choose one.</p>
      </Notice>
    </>
  );
}

/** A link that signs in once. A click is asked for: programs that look at links ahead must not use it up. */
export function Enter({ name, role }: { name: string; role: string }) {
  return (
    <form class="stack" method="post">
      <p>
        This link signs you in once as {name} ({role}).
      </p>
      <button type="submit">Sign in as {name}</button>
    </form>
  );
}

export function ChoosePassword({ form, name, signInName }: { form: FormState; name: string; signInName: string }) {
  return (
    <>
      <FaultSummary form={form} />
      <form class="stack" method="post">
        <p>
          Welcome, {name}. Choose a password; from then on you sign in with the name <strong>{signInName}</strong> and
          that password.
        </p>
        <input type="text" name="signInName" value={signInName} autocomplete="username" readonly hidden />
        <TextField
          form={form}
          name="password"
          label="Password"
          hint="At least 10 characters; a short sentence is easy to keep."
          type="password"
          autocomplete="new-password"
          required
          maxlength={200}
        />
        <TextField
          form={form}
          name="again"
          label="The same once more"
          type="password"
          autocomplete="new-password"
          required
          maxlength={200}
        />
        <button type="submit">Set the password and sign in</button>
      </form>
    </>
  );
}
