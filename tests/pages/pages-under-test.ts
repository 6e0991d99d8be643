import { randomUUID } from 'node:crypto';
import type { Role } from '../../src/domain/vocabulary.ts';
import { addPerson } from '../../src/store/people.ts';
import { beginSession } from '../../src/store/sessions.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type AppUnderTest, now } from '../http/app-under-test.ts';

export interface SignedIn {
  readonly personId: string;
  readonly cookie: string;
}

/** Somebody new of this role, signed in. */
export async function signedIn(app: AppUnderTest, shopId: string, role: Role, at = now): Promise<SignedIn> {
  return inShop(app.db, shopId, async (tx) => {
    const signInName = `p${randomUUID().slice(0, 8)}`;
    const person = await addPerson(tx, { name: `Invented ${role}`, signInName, role });
    if (!person) throw new Error('a random name is taken');
    const text = await beginSession(tx, { personId: person.personId, device: 'test', now: at });
    return { personId: person.personId, cookie: `secondpass_session=${text}` };
  });
}

/** A page as a browser asks for it. */
export function get(app: AppUnderTest, path: string, cookie = ''): Promise<Response> {
  return app.call('GET', path, { headers: { Accept: 'text/html', ...(cookie && { Cookie: cookie }) } });
}

/** What a page says, the spaces that keep a figure on one line as plain ones: no-break.test.ts looks at those. */
export async function textOf(answer: Response | Promise<Response>): Promise<string> {
  return (await (await answer).text()).replaceAll('\u00A0', ' ');
}

/** A form as a browser sends it from our own page. */
export function post(
  app: AppUnderTest,
  path: string,
  fields: Readonly<Record<string, string>> | readonly (readonly [string, string])[],
  { cookie = '', headers = {} }: { readonly cookie?: string; readonly headers?: Readonly<Record<string, string>> } = {},
): Promise<Response> {
  const entries = Array.isArray(fields) ? fields : Object.entries(fields);
  return app.call('POST', path, {
    body: new URLSearchParams(entries as [string, string][]).toString(),
    headers: {
      Accept: 'text/html',
      'Content-Type': 'application/x-www-form-urlencoded',
      'Sec-Fetch-Site': 'same-origin',
      ...(cookie && { Cookie: cookie }),
      ...headers,
    },
  });
}

/** The session cookie that an answer sets, as the browser would send it back. */
export function cookieOf(response: Response): string {
  return (
    response.headers
      .getSetCookie()
      .find((line) => line.startsWith('secondpass_session='))
      ?.split(';')[0] ?? ''
  );
}
