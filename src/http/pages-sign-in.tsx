import { z } from 'zod';
import { readBy } from '../domain/faults.ts';
import { signInName } from '../domain/person.ts';
import { type FormState, freshForm, readForm, withFaults } from '../pages/form-input.ts';
import { ChoosePassword, Enter, SignIn } from '../pages/sign-in.tsx';
import { findLink, useLink } from '../store/entry-links.ts';
import { hashPassword } from '../store/passwords.ts';
import { checkPassword, setPasswordHash } from '../store/people.ts';
import { beginSession, endSession, endSessionsOf, findSession } from '../store/sessions.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import { clientAddress } from './auth.ts';
import type { AppDeps } from './env.ts';
import { formOf } from './form-of.ts';
import type { PageContext } from './pages-env.ts';
import { refusePage, show, statusFor } from './pages-show.tsx';
import { newPassword, newPasswordFaults, withoutPassword } from './password-form.ts';
import { clearSessionCookie, newPages, openToAll, sessionCookie, setSessionCookie } from './sessions.ts';
import { likelyShop, rememberShop, shopByCode } from './shop-of-browser.ts';
import { createSignInLimit } from './sign-in-limit.ts';
import { statusOf } from './status.ts';

const signInForm = z.object({
  signInName,
  password: z.string().max(200),
  shopCode: z.string().max(40).optional(),
  back: z.string().optional(),
});

/** Ways in and out: by password, by a link, by an invitation; signing out. */
export function signInPages(deps: AppDeps) {
  const limit = createSignInLimit(() => performance.now());
  return newPages()
    .get('/sign-in', async (c) => signInPage(c, deps, { form: freshForm, back: c.req.query('back') }))
    .post('/sign-in', openToAll(), (c) => signIn(c, deps, limit))
    .post('/sign-out', openToAll(), (c) => signOut(c, deps))
    .get('/enter/:token', (c) => enterPage(c, deps))
    .post('/enter/:token', openToAll(), (c) => enter(c, deps))
    .get('/invite/:token', (c) => invitePage(c, deps))
    .post('/invite/:token', openToAll(), (c) => acceptInvite(c, deps));
}

interface SignInState {
  readonly form: FormState;
  readonly back?: string | undefined;
  readonly trouble?: string;
  readonly status?: 401 | 422 | 429;
}

async function signInPage(c: PageContext, { db }: AppDeps, state: SignInState): Promise<Response> {
  const { form, trouble, status = 200 } = state;
  const asksShop = Boolean(form.typed('shopCode')) || (await likelyShop(c, db)) === undefined;
  const body = <SignIn form={form} back={within(state.back)} asksShop={asksShop} trouble={trouble} />;
  return show(c, { title: 'Sign in', status }, body);
}

async function signIn(c: PageContext, deps: AppDeps, limit: ReturnType<typeof createSignInLimit>): Promise<Response> {
  const { input, form } = readForm((await formOf(c)).entries(), 'si');
  const read = readBy(signInForm, input);
  const back = form.typed('back');
  if (!read.ok)
    return signInPage(c, deps, {
      form: withFaults(form, withoutPassword(read.faults)),
      back,
      status: statusOf.invalid,
    });
  const { shopCode = '', ...given } = read.value;
  const shopId = await (shopCode.trim() === '' ? likelyShop(c, deps.db) : shopByCode(deps.db, shopCode));
  const turn = limit(`${shopId ?? shopCode} ${given.signInName}`, clientAddress(c));
  if ('waitMs' in turn) return signInPage(c, deps, { form, back, trouble: waitText(turn.waitMs), status: 429 });
  const person = shopId === undefined ? undefined : await checkPassword(deps.db, shopId, given);
  if (!person || shopId === undefined) {
    c.get('log').info({ shopId }, 'sign-in refused');
    const trouble = 'What was typed is not right: sign-in name, password, or shop code.';
    return signInPage(c, deps, { form, back, trouble, status: statusOf.unauthorized });
  }
  turn.right();
  await inShop(deps.db, shopId, (tx) => begin(c, tx, person.personId, deps.now()));
  return c.redirect(within(back), 303);
}

async function signOut(c: PageContext, { db, now }: AppDeps): Promise<Response> {
  const text = sessionCookie(c);
  const session = text === undefined ? undefined : await findSession(db, text, now());
  if (session) await inShop(db, session.shop.shopId, (tx) => endSession(tx, session.sessionId));
  clearSessionCookie(c);
  return c.redirect('/sign-in', 303);
}

async function enterPage(c: PageContext, { db, now }: AppDeps): Promise<Response> {
  const found = await findLink(db, c.req.param('token') ?? '', 'sign-in', now());
  return found ? show(c, { title: 'Sign in by link' }, <Enter {...found.person} />) : spentLink(c);
}

async function enter(c: PageContext, { db, now }: AppDeps): Promise<Response> {
  const found = await findLink(db, c.req.param('token') ?? '', 'sign-in', now());
  if (!found) return spentLink(c);
  const { shopId, linkId, person } = found;
  const entered = await inShop(db, shopId, async (tx) => {
    if (!(await useLink(tx, linkId))) return false;
    await begin(c, tx, person.personId, now());
    return true;
  });
  return entered ? c.redirect('/start', 303) : spentLink(c);
}

async function invitePage(c: PageContext, { db, now }: AppDeps, form = freshForm): Promise<Response> {
  const found = await findLink(db, c.req.param('token') ?? '', 'set-password', now());
  if (!found) return spentLink(c);
  const { name, signInName } = found.person;
  return show(
    c,
    { title: 'Choose a password', status: statusFor(form) },
    <ChoosePassword {...{ form, name, signInName }} />,
  );
}

/** Whoever had been signed in with the former password is so no longer. */
async function acceptInvite(c: PageContext, deps: AppDeps): Promise<Response> {
  const { db, now } = deps;
  const found = await findLink(db, c.req.param('token') ?? '', 'set-password', now());
  if (!found) return spentLink(c);
  const { input, form } = readForm((await formOf(c)).entries(), 'si');
  const read = readBy(newPassword, input);
  const faults = read.ok ? newPasswordFaults(read.value, found.person.signInName) : withoutPassword(read.faults);
  if (!read.ok || faults.length > 0) return invitePage(c, deps, withFaults(form, faults));
  const passwordHash = await hashPassword(read.value.password);
  const { shopId, linkId, person } = found;
  const entered = await inShop(db, shopId, async (tx) => {
    if (!(await useLink(tx, linkId))) return false;
    await setPasswordHash(tx, person.personId, passwordHash);
    await endSessionsOf(tx, person.personId);
    await begin(c, tx, person.personId, now());
    return true;
  });
  return entered ? c.redirect('/start', 303) : spentLink(c);
}

async function begin(c: PageContext, tx: ShopTransaction, personId: string, now: Date): Promise<void> {
  const device = c.req.header('user-agent') ?? 'unknown';
  const text = await beginSession(tx, { personId, device, now });
  setSessionCookie(c, text);
  rememberShop(c, tx.shopId);
}

function spentLink(c: PageContext): Promise<Response> {
  return refusePage(c, {
    status: statusOf.notFound,
    title: 'This link lets nobody in',
    text: 'It has been used, it has run out, or a newer one took its place. The owner makes a new one on the page “People”.',
    way: { href: '/sign-in', label: 'Sign in with a password' },
  });
}

/** Only places of our own: a link to the sign-in page must lead nowhere else. */
function within(back: string | undefined): string {
  return back !== undefined && /^\/(?![/\\])[\x21-\x7e]*$/.test(back) && !back.startsWith('/sign-') ? back : '/start';
}

function waitText(waitMs: number): string {
  const minutes = Math.ceil(waitMs / 60_000);
  return `Too many tries. Wait ${minutes === 1 ? 'a minute' : `${minutes} minutes`}, or ask the owner for a link to choose a new password.`;
}
