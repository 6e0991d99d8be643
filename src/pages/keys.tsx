import type { Role } from '../domain/vocabulary.ts';
import { byLabels } from './fault-words.ts';
import { ChoiceField, FaultSummary, TextField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { roleOptions } from './roles.ts';

interface ListedKey {
  readonly keyId: string;
  readonly role: Role;
  readonly label: string;
  readonly createdAt: Date;
  readonly revokedAt: Date | null;
}

interface KeysProps {
  readonly keys: readonly ListedKey[];
  readonly form: FormState;
  readonly formats: Formats;
  /** The text of a key that has just been made. */
  readonly made?: string | undefined;
}

/** The keys of programs that speak for the shop. */
export function Keys({ keys, formats, made, ...sent }: KeysProps) {
  const form = byLabels(sent.form, { label: 'What it is for', role: 'What it may do' });
  const inForce = keys.filter(({ revokedAt }) => revokedAt === null);
  const revoked = keys.filter(({ revokedAt }) => revokedAt !== null);
  return (
    <>
      {made && (
        <Notice kind="done">
          <p>The new key. It is shown only now; keep it where the program that uses it keeps its secrets.</p>
          <p>
            <code class="once">{made}</code>
          </p>
        </Notice>
      )}
      <p>
        Other programs use a key to send jobs and ask for estimates;{' '}
        <a href="/docs">the description of that interface</a> says how. People need no key: they sign in.
      </p>
      <h2>In force</h2>
      {inForce.length === 0 && <p>None yet: no other program sends jobs here or asks for estimates.</p>}
      <ul class="cards">
        {inForce.map((key) => (
          <li>
            <KeyLine listed={key} formats={formats} />
            <form method="post" action={`/keys/${key.keyId}/revoke`}>
              <button type="submit" class="second" aria-label={`Revoke: ${key.label}`}>
                Revoke
              </button>
            </form>
          </li>
        ))}
      </ul>
      <MakeKey form={form} />
      {revoked.length > 0 && (
        <details>
          <summary>Revoked keys</summary>
          <ul class="cards">
            {revoked.map((key) => (
              <li>
                <KeyLine listed={key} formats={formats} />
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function MakeKey({ form }: Pick<KeysProps, 'form'>) {
  return (
    <>
      <h2>Make a key</h2>
      <FaultSummary form={form} />
      <form class="stack" method="post" action="/keys">
        <TextField
          form={form}
          name="label"
          label="What is it for?"
          hint="So that you know later what stops working."
          required
          maxlength={120}
        />
        <ChoiceField
          form={form}
          name="role"
          label="What may it do?"
          options={roleOptions}
          initial="technician"
          required
        />
        <button type="submit">Make the key</button>
      </form>
    </>
  );
}

function KeyLine({ listed: { label, role, createdAt, revokedAt }, formats }: { listed: ListedKey; formats: Formats }) {
  return (
    <p>
      <strong>{label}</strong>, {role}
      <br />
      <span class="soft">
        Made {formats.date(createdAt)}
        {revokedAt && `, revoked ${formats.date(revokedAt)}`}
      </span>
    </p>
  );
}
