import { z } from 'zod';
import { faultSaying } from '../domain/faults.ts';
import { Account } from '../pages/account.tsx';
import { type FormState, freshForm, withFaults } from '../pages/form-input.ts';
import { hashPassword } from '../store/passwords.ts';
import { changePasswordHash, checkPassword, readPerson } from '../store/people.ts';
import { endSessionsOf, listSessions } from '../store/sessions.ts';
import type { AppDeps } from './env.ts';
import type { PageContext } from './pages-env.ts';
import { formBy } from './pages-form.ts';
import { show, statusFor } from './pages-show.tsx';
import { newPassword, newPasswordFaults, withoutPassword } from './password-form.ts';
import { clearSessionCookie, inOwnShop, newPages, sessionGuard } from './sessions.ts';
import { createSignInLimit } from './sign-in-limit.ts';

const change = newPassword.extend({ former: z.string().max(200) });

/** What is one's own. */
export function accountPages(deps: AppDeps) {
  const guard = sessionGuard(deps);
  const limit = createSignInLimit(() => performance.now());
  return newPages()
    .get('/account', guard('technician'), (c) =>
      accountPage(c, deps, freshForm, c.req.query('done') === 'password' ? 'Your password is changed.' : undefined),
    )
    .post('/account/password', guard('technician'), (c) => changePassword(c, deps, limit))
    .post('/sign-out-everywhere', guard('technician'), async (c) => {
      const { personId } = c.get('session');
      await inOwnShop(c, deps.db, (tx) => endSessionsOf(tx, personId));
      clearSessionCookie(c);
      return c.redirect('/sign-in', 303);
    });
}

async function accountPage(c: PageContext, { db, now }: AppDeps, form: FormState, done?: string): Promise<Response> {
  const { personId, sessionId, role, name } = c.get('session');
  const sessions = await inOwnShop(c, db, (tx) => listSessions(tx, now(), personId));
  const seen = { role, sessions, current: sessionId, formats: c.get('formats'), form, done };
  return show(c, { title: name, status: statusFor(form) }, <Account {...seen} />);
}

/** Whoever else is signed in under this name is so no longer. */
async function changePassword(
  c: PageContext,
  deps: AppDeps,
  limit: ReturnType<typeof createSignInLimit>,
): Promise<Response> {
  const read = await formBy(c, change);
  if (!read.ok) return accountPage(c, deps, withFaults(read.form, withoutPassword(read.form.faults)));
  const { shop, personId, sessionId } = c.get('session');
  const person = await inOwnShop(c, deps.db, (tx) => readPerson(tx, personId));
  const signInName = person?.signInName ?? '';
  const wrong = newPasswordFaults(read.value, signInName);
  if (wrong.length > 0) return accountPage(c, deps, withFaults(read.form, wrong));
  const turn = limit(personId, sessionId);
  const right =
    !('waitMs' in turn) &&
    (await checkPassword(deps.db, shop.shopId, { signInName, password: read.value.former })) !== undefined;
  if (!right) {
    const said = 'waitMs' in turn ? 'Too many tries: wait a quarter of an hour' : 'This is not your password';
    return accountPage(c, deps, withFaults(read.form, [faultSaying(['former'], said)]));
  }
  const passwordHash = await hashPassword(read.value.password);
  await inOwnShop(c, deps.db, async (tx) => {
    await changePasswordHash(tx, personId, passwordHash);
    await endSessionsOf(tx, personId, sessionId);
  });
  return c.redirect('/account?done=password', 303);
}
