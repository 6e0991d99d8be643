import { z } from 'zod';
import { shownName } from '../domain/shown-name.ts';
import { roles } from '../domain/vocabulary.ts';
import { type FormState, freshForm } from '../pages/form-input.ts';
import { Keys } from '../pages/keys.tsx';
import { createKey, listKeys, revokeKey } from '../store/keys.ts';
import type { AppDeps } from './env.ts';
import type { KeyVerifier } from './key-verifier.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { formBy } from './pages-form.ts';
import { show, statusFor } from './pages-show.tsx';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';

const newKey = z.strictObject({
  label: shownName,
  role: z.enum(roles),
});

/**
 * Keys of programs. The last owner key may go here, other than over the interface for programs: an owner who can sign
 * in can make another.
 */
export function keyPages(deps: AppDeps, verifier: KeyVerifier) {
  const guard = sessionGuard(deps);
  return newPages()
    .get('/keys', guard('owner'), (c) => keysPage(c, deps, freshForm))
    .post('/keys', guard('owner'), async (c) => {
      const read = await formBy(c, newKey);
      if (!read.ok) return keysPage(c, deps, read.form);
      const { keyId, text } = await inOwnShop(c, deps.db, (tx) => createKey(tx, read.value));
      c.get('log').info({ madeKeyId: keyId, role: read.value.role }, 'key made');
      return keysPage(c, deps, freshForm, text);
    })
    .post('/keys/:keyId/revoke', guard('owner'), async (c) => {
      const keyId = c.req.param('keyId');
      const done = await inOwnShop(c, deps.db, (tx) => revokeKey(tx, keyId));
      if (!done) return noSuchPage(c);
      verifier.forget(keyId);
      c.get('log').info({ revokedKeyId: keyId }, 'key revoked');
      return c.redirect('/keys', 303);
    });
}

async function keysPage(c: PageContext, { db }: AppDeps, form: FormState, made?: string): Promise<Response> {
  const keys = await inOwnShop(c, db, listKeys);
  return show(
    c,
    { title: 'Keys', status: statusFor(form) },
    <Keys keys={keys} form={form} formats={c.get('formats')} made={made} />,
  );
}
