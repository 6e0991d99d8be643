import { z } from 'zod';
import { fault } from '../domain/faults.ts';
import { newPerson, type Person } from '../domain/person.ts';
import { roles } from '../domain/vocabulary.ts';
import { type FormState, freshForm, withFaults } from '../pages/form-input.ts';
import { type ChangedField, changedMeanwhile, onTopOf } from '../pages/form-meanwhile.ts';
import { LinkMade, People, PersonPage, personShown } from '../pages/people.tsx';
import { makeLink } from '../store/entry-links.ts';
import { readTechnicians } from '../store/lists.ts';
import { addPerson, holdPerson, letGo, listPeople, readPerson, setRole } from '../store/people.ts';
import { endSession, endSessionsOf, listSessions } from '../store/sessions.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { formBy } from './pages-form.ts';
import { show, statusFor } from './pages-show.tsx';
import { inOwnShop, isHttps, newPages, sessionGuard } from './sessions.ts';
import { shopCode } from './shop-of-browser.ts';
import { statusOf } from './status.ts';

const lastOwner = 'This is the last owner: make somebody else an owner first.';

/** Who may sign in, as the owner sees it: invitations, roles, sessions, and the end. */
export function peoplePages(deps: AppDeps) {
  const guard = sessionGuard(deps);
  return newPages()
    .get('/people', guard('owner'), (c) => peoplePage(c, deps, freshForm))
    .post('/people', guard('owner'), (c) => invite(c, deps))
    .get('/people/:id', guard('owner'), (c) => ofPerson(c, deps, (tx, person) => personPage(c, deps, tx, person, {})))
    .post('/people/:id/link', guard('owner'), (c) => ofPerson(c, deps, (tx, person) => linkPage(c, deps, tx, person)))
    .post('/people/:id/role', guard('owner'), (c) => changeRole(c, deps))
    .post('/people/:id/let-go', guard('owner'), (c) =>
      ofPerson(c, deps, async (tx, person) => {
        const outcome = await letGo(tx, person.personId, deps.now());
        return outcome === 'done'
          ? c.redirect('/people', 303)
          : personPage(c, deps, tx, person, { trouble: lastOwner });
      }),
    )
    .post('/people/:id/end-sessions', guard('owner'), (c) =>
      ofPerson(c, deps, async (tx, person) => {
        await endSessionsOf(tx, person.personId, c.get('session').sessionId);
        return c.redirect(`/people/${person.personId}`, 303);
      }),
    )
    .post('/sessions/:id/end', guard('technician'), (c) => endOne(c, deps));
}

async function peoplePage(c: PageContext, { db, now }: AppDeps, form: FormState): Promise<Response> {
  const { shop, sessionId } = c.get('session');
  const seen = await inOwnShop(c, db, async (tx) => ({
    people: await listPeople(tx),
    sessions: await listSessions(tx, now()),
    technicians: await readTechnicians(tx),
  }));
  const frame = { form, formats: c.get('formats'), shopCode: shopCode(shop.shopId), current: sessionId };
  return show(c, { title: 'People', status: statusFor(form) }, <People {...seen} {...frame} />);
}

async function invite(c: PageContext, deps: AppDeps): Promise<Response> {
  const read = await formBy(c, newPerson);
  if (!read.ok) return peoplePage(c, deps, read.form);
  const wanted = read.value;
  const outcome = await inOwnShop(c, deps.db, async (tx) => {
    const known =
      wanted.technician === undefined || (await readTechnicians(tx)).some((t) => t.key === wanted.technician);
    if (!known) return fault(['technician'], wanted.technician, 'nobody in the list of technicians');
    const person = await addPerson(tx, wanted);
    if (!person)
      return fault(['signInName'], wanted.signInName, 'somebody has this sign-in name already; take another');
    return linkPage(c, deps, tx, person);
  });
  if (outcome instanceof Response) return outcome;
  return peoplePage(c, deps, withFaults(read.form, [outcome]));
}

async function changeRole(c: PageContext, deps: AppDeps): Promise<Response> {
  const read = await formBy(c, z.object({ role: z.enum(roles) }));
  const work = async (tx: ShopTransaction, person: Person) => {
    const changes = changedMeanwhile(read.form, personShown(person));
    if (changes.length > 0) {
      const form = onTopOf(personShown(person), read.form);
      return personPage(c, deps, tx, person, { form, changes });
    }
    if (!read.ok) return personPage(c, deps, tx, person, { trouble: 'Choose one of the roles.' });
    const outcome = await setRole(tx, person.personId, read.value.role);
    if (outcome === 'last-owner') return personPage(c, deps, tx, person, { trouble: lastOwner });
    return c.redirect(`/people/${person.personId}`, 303);
  };
  return ofPerson(c, deps, work, holdPerson);
}

/** Everybody may end sessions of their own; the owner those of all. */
async function endOne(c: PageContext, { db, now }: AppDeps): Promise<Response> {
  const { personId, role } = c.get('session');
  const sessionId = c.req.param('id') ?? '';
  const ended = await inOwnShop(c, db, async (tx) => {
    const mine = await listSessions(tx, now(), role === 'owner' ? undefined : personId);
    return mine.some((one) => one.sessionId === sessionId) && endSession(tx, sessionId);
  });
  if (!ended) return noSuchPage(c);
  return c.redirect(role === 'owner' ? '/people' : '/account', 303);
}

/** The person of the address, in one transaction; the page that there is none, where there is none. */
async function ofPerson(
  c: PageContext,
  { db }: AppDeps,
  work: (tx: ShopTransaction, person: Person) => Promise<Response>,
  read: typeof readPerson = readPerson,
): Promise<Response> {
  const personId = z.uuid().safeParse(c.req.param('id'));
  if (!personId.success) return noSuchPage(c);
  return inOwnShop(c, db, async (tx) => {
    const person = await read(tx, personId.data);
    return person ? work(tx, person) : noSuchPage(c);
  });
}

interface PersonAnswer {
  readonly trouble?: string;
  readonly form?: FormState;
  readonly changes?: readonly ChangedField[];
}

async function personPage(
  c: PageContext,
  { now }: AppDeps,
  tx: ShopTransaction,
  person: Person,
  { trouble, form = freshForm, changes = [] }: PersonAnswer,
): Promise<Response> {
  const sessions = await listSessions(tx, now(), person.personId);
  const frame = { formats: c.get('formats'), current: c.get('session').sessionId, trouble, form, changes };
  const wrong = trouble === undefined ? 200 : statusOf.conflict;
  const status = changes.length > 0 ? statusOf.preconditionFailed : wrong;
  return show(c, { title: person.name, status }, <PersonPage person={person} sessions={sessions} {...frame} />);
}

async function linkPage(c: PageContext, { now }: AppDeps, tx: ShopTransaction, person: Person): Promise<Response> {
  const { path, endsAt } = await makeLink(tx, person.personId, 'set-password', now());
  const address = `${isHttps(c) ? 'https' : 'http'}://${c.req.header('host') ?? new URL(c.req.url).host}${path}`;
  const body = <LinkMade person={person} address={address} endsAt={endsAt} formats={c.get('formats')} />;
  return show(c, { title: `A link for ${person.name}` }, body);
}
