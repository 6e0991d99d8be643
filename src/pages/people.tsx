import type { Technician } from '../domain/lists.ts';
import type { Person } from '../domain/person.ts';
import { byLabels } from './fault-words.ts';
import { ChoiceField, FaultSummary, SelectField, TextField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { ChangedField, Shown } from './form-meanwhile.ts';
import type { Formats } from './format.ts';
import { FirstShown, Meanwhile } from './meanwhile.tsx';
import { Notice } from './notice.tsx';
import { roleOptions } from './roles.ts';
import { type OpenSession, SessionList } from './session-list.tsx';
import { namesOf } from './words.ts';

interface PeopleProps {
  readonly people: readonly Person[];
  readonly sessions: readonly OpenSession[];
  readonly technicians: readonly Technician[];
  readonly form: FormState;
  readonly formats: Formats;
  /** What people type at sign-in where the server has several shops. */
  readonly shopCode: string;
  readonly current: string;
}

/** Everybody who may sign in, the form that invites one more, and who is signed in just now. */
export function People({ people, sessions, technicians, formats, shopCode, current, ...sent }: PeopleProps) {
  const form = byLabels(sent.form, labels);
  const here = people.filter(({ leftAt }) => leftAt === null);
  const gone = people.filter(({ leftAt }) => leftAt !== null);
  return (
    <>
      <p>
        Each signs in with an own name and password. Where several shops share this server, the sign-in page asks for
        the shop code: yours is <strong>{shopCode}</strong>.
      </p>
      <PersonList people={here} />
      <h2>Invite somebody</h2>
      <FaultSummary form={form} />
      <InviteForm form={form} technicians={technicians} />
      <h2>Signed in now</h2>
      <SessionList sessions={sessions} formats={formats} current={current} showName />
      {gone.length > 0 && (
        <>
          <h2>Let in no more</h2>
          <PersonList people={gone} />
        </>
      )}
    </>
  );
}

const labels = {
  name: 'Name',
  signInName: 'Sign-in name',
  role: 'What they may do',
  technician: 'Who it is in the list of technicians',
};

function PersonList({ people }: { people: readonly Person[] }) {
  return (
    <ul class="ways">
      {people.map(({ personId, name, role, hasPassword, leftAt }) => (
        <li>
          <a href={`/people/${personId}`}>
            {name}, {role}
            {!hasPassword && leftAt === null && ' (has no password yet)'}
          </a>
        </li>
      ))}
    </ul>
  );
}

function InviteForm({ form, technicians }: { form: FormState; technicians: readonly Technician[] }) {
  return (
    <form class="stack" method="post" action="/people">
      <TextField form={form} name="name" label="Name" required maxlength={120} />
      <TextField
        form={form}
        name="signInName"
        label="Sign-in name"
        hint="Short and easy on a phone: letters, digits, dots, dashes."
        required
        maxlength={40}
      />
      <ChoiceField
        form={form}
        name="role"
        label="What may they do?"
        options={roleOptions}
        initial="technician"
        required
      />
      {technicians.length > 0 && (
        <SelectField
          form={form}
          name="technician"
          label="Who is it in the list of technicians?"
          hint="Jobs that they record then begin with their name."
          options={namesOf(technicians)}
          none="nobody there"
        />
      )}
      <button type="submit">Make an invitation link</button>
    </form>
  );
}

interface LinkMadeProps {
  readonly person: Person;
  readonly address: string;
  readonly endsAt: Date;
  readonly formats: Formats;
}

/** The one time that a link is seen. */
export function LinkMade({ person, address, endsAt, formats }: LinkMadeProps) {
  return (
    <>
      <Notice kind="done">
        <p>
          Give this link to {person.name}, and to nobody else. It is shown only now, works once, and runs out on{' '}
          {formats.dateTime(endsAt)}.
        </p>
      </Notice>
      <p>
        <code class="once">{address}</code>
      </p>
      <p>
        <a class="button second" href="/people">
          Back to the people
        </a>
      </p>
    </>
  );
}

interface PersonProps {
  readonly person: Person;
  readonly sessions: readonly OpenSession[];
  readonly formats: Formats;
  readonly current: string;
  readonly trouble?: string | undefined;
  readonly form: FormState;
  /** What others stored since the form was shown. */
  readonly changes: readonly ChangedField[];
}

/** What the fields show of a person. */
export function personShown({ role }: Person): Shown {
  return { role };
}

/** One person: what they may do, a new password, their devices, and the end. */
export function PersonPage({ person, sessions, formats, current, trouble, form, changes }: PersonProps) {
  const at = `/people/${person.personId}`;
  return (
    <>
      {trouble && (
        <Notice kind="caution">
          <p>{trouble}</p>
        </Notice>
      )}
      <Meanwhile changes={changes} labels={labels} href={at} said={saidOfRole} />
      <p>
        Signs in as <strong>{person.signInName}</strong>. {stateOf(person, formats)}
      </p>
      <h2>A link to choose a password</h2>
      <form class="stack" method="post" action={`${at}/link`}>
        <p>For a first password, or for a forgotten one. A link that was made before stops working.</p>
        <button type="submit">Make a link</button>
      </form>
      {person.leftAt === null && (
        <>
          <h2>What they may do</h2>
          <form class="stack" method="post" action={`${at}/role`}>
            <FirstShown shown={personShown(person)} />
            <ChoiceField form={form} name="role" label="Role" options={roleOptions} initial={person.role} required />
            <button type="submit">Change the role</button>
          </form>
          <h2>Where they are signed in</h2>
          <SessionList sessions={sessions} formats={formats} current={current} />
          {sessions.length > 1 && (
            <form method="post" action={`${at}/end-sessions`}>
              <button type="submit" class="second">
                Sign them out everywhere
              </button>
            </form>
          )}
          <h2>Let in no more</h2>
          <form class="stack" method="post" action={`${at}/let-go`}>
            <p>Password, links and sessions end at once. The jobs that they recorded stay.</p>
            <button type="submit" class="second">
              Let {person.name} in no more
            </button>
          </form>
        </>
      )}
    </>
  );
}

function saidOfRole(_name: string, typed: string): string | undefined {
  return roleOptions.find(([role]) => role === typed)?.[1];
}

function stateOf({ leftAt, hasPassword }: Person, formats: Formats): string {
  if (leftAt !== null) return `Let in no more since ${formats.date(leftAt)}.`;
  return hasPassword ? 'Has a password.' : 'Has no password yet.';
}
