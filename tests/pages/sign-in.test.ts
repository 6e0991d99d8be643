import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createSignInLink, makeLink } from '../../src/store/entry-links.ts';
import { addPerson } from '../../src/store/people.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type AppUnderTest, now, startApp } from '../http/app-under-test.ts';
import { cookieOf, get, post, signedIn } from './pages-under-test.ts';

let app: AppUnderTest;
let shopId: string;
beforeAll(async () => {
  app = await startApp();
  ({ shopId } = await app.openShop());
});
afterAll(() => app.close());

/** Somebody invited, and the path of the invitation. */
async function invited(signInName: string): Promise<{ personId: string; path: string }> {
  return inShop(app.db, shopId, async (tx) => {
    const person = await addPerson(tx, { name: 'Invented Somebody', signInName, role: 'desk' });
    if (!person) throw new Error(`${signInName} is taken`);
    return { personId: person.personId, path: (await makeLink(tx, person.personId, 'set-password', now)).path };
  });
}

const good = 'four brown buckets';

describe('contract: invitations', () => {
  it('let one person choose a password once, and sign in with it from then on', async () => {
    const { path } = await invited('ines');
    const page = await get(app, path);
    expect(page.status).toBe(200);
    expect(await page.text()).toContain('ines');
    const chosen = await post(app, path, { password: good, again: good });
    expect(chosen.status).toBe(303);
    expect((await get(app, '/start', cookieOf(chosen))).status).toBe(200);
    expect((await get(app, path)).status).toBe(404);
    expect((await post(app, path, { password: good, again: good })).status).toBe(404);
    const again = await post(app, '/sign-in', { signInName: 'INES', password: good });
    expect(again.status).toBe(303);
    expect(cookieOf(again)).toMatch(/^secondpass_session=sps_/);
  });

  it('say at the field what is wrong with a password, and never repeat it', async () => {
    const { path } = await invited('jo');
    for (const [password, again, said] of [
      ['t1ny', 't1ny', 'It needs 10 to 200 characters'],
      ['aaaaaaaaaaaa', 'aaaaaaaaaaaa', 'It needs 10 to 200 characters'],
      [good, 'something else', 'The two are not the same'],
      ['xx jo 123456', 'xx jo 123456', 'The sign-in name must not be part of it'],
    ] as const) {
      const answer = await post(app, path, { password, again });
      expect(answer.status).toBe(422);
      const text = await answer.text();
      expect(text).toContain(said);
      expect(text).not.toContain(password);
    }
  });
});

describe('contract: sign-in links', () => {
  it('sign in once, by a click and not by being looked at', async () => {
    const path = await createSignInLink(app.db, shopId, 'technician', now);
    expect((await get(app, path)).status).toBe(200);
    expect((await get(app, path)).status).toBe(200);
    const [one, two] = await Promise.all([post(app, path, {}), post(app, path, {})]);
    expect([one.status, two.status].sort()).toEqual([303, 404]);
  });

  it('are no invitations', async () => {
    const path = await createSignInLink(app.db, shopId, 'desk', now);
    expect((await get(app, path.replace('/enter/', '/invite/'))).status).toBe(404);
  });
});

describe('contract: the session cookie', () => {
  it('is kept from scripts and other sites, and is secure where the browser came by https', async () => {
    const path = await createSignInLink(app.db, shopId, 'desk', now);
    const plain = await post(app, path, {});
    expect(plain.headers.getSetCookie()[0]).toMatch(/^secondpass_session=.*HttpOnly; SameSite=Lax$/);
    const second = await createSignInLink(app.db, shopId, 'desk', now);
    const secure = await post(app, second, {}, { headers: { 'X-Forwarded-Proto': 'https' } });
    expect(secure.headers.getSetCookie()[0]).toMatch(/HttpOnly; Secure; SameSite=Lax$/);
  });

  it('is nothing once signed out', async () => {
    const { cookie } = await signedIn(app, shopId, 'desk');
    expect((await get(app, '/start', cookie)).status).toBe(200);
    expect((await post(app, '/sign-out', {}, { cookie })).status).toBe(303);
    expect((await get(app, '/start', cookie)).status).toBe(303);
  });

  it('is nothing with a letter of its secret changed, or with another shop in it', async () => {
    const { cookie } = await signedIn(app, shopId, 'owner');
    const other = (await app.openShop()).shopId.replaceAll('-', '');
    const last = cookie.at(-2) === 'A' ? 'B' : 'A';
    for (const bad of [
      cookie.slice(0, -2) + last + cookie.at(-1),
      cookie.replace(shopId.replaceAll('-', ''), other),
      'secondpass_session=sps_',
    ])
      expect((await get(app, '/start', bad)).status).toBe(303);
  });
});

describe('contract: forms from elsewhere', () => {
  it('are refused, with a page that says so', async () => {
    const { cookie } = await signedIn(app, shopId, 'owner');
    for (const headers of [
      { 'Sec-Fetch-Site': 'cross-site', Origin: 'https://elsewhere.invalid' },
      { 'Sec-Fetch-Site': 'same-site', Origin: 'null' },
    ]) {
      const answer = await post(app, '/sign-out', {}, { cookie, headers });
      expect(answer.status).toBe(403);
      expect(await answer.text()).toContain('came from elsewhere');
    }
    expect((await get(app, '/start', cookie)).status).toBe(200);
  });
});

describe('contract: several shops on one server', () => {
  it('asks a new browser for the shop once, and tells nobody which shops there are', async () => {
    const other = await app.openShop();
    const { path } = await invited('kim');
    const chosen = await post(app, path, { password: good, again: good });
    const page = await (await get(app, '/sign-in')).text();
    expect(page).toContain('name="shopCode"');
    expect(page).not.toContain(shopId.slice(0, 8));
    const signIn = (shopCode: string) => post(app, '/sign-in', { signInName: 'kim', password: good, shopCode });
    expect((await signIn(shopId.slice(0, 8).toUpperCase())).status).toBe(303);
    for (const wrong of [other.shopId.slice(0, 8), '', '%', 'zzzzzzzz']) {
      const answer = await signIn(wrong);
      expect(answer.status).toBe(401);
      expect(await answer.text()).toContain('not right');
    }
    const remembered = chosen.headers
      .getSetCookie()
      .find((line) => line.startsWith('secondpass_shop='))
      ?.split(';')[0];
    expect(await (await get(app, '/sign-in', remembered)).text()).not.toContain('name="shopCode"');
    const again = await post(app, '/sign-in', { signInName: 'kim', password: good }, { cookie: remembered ?? '' });
    expect(again.status).toBe(303);
  });

  it('goes by the code that was typed, whatever shop the browser was in last', async () => {
    const { path } = await invited('lea');
    await post(app, path, { password: good, again: good });
    const last = { cookie: `secondpass_shop=${(await app.openShop()).shopId}` };
    const typed = { signInName: 'lea', password: good, shopCode: shopId.slice(0, 8) };
    expect((await post(app, '/sign-in', typed, last)).status).toBe(303);
    const slip = await post(app, '/sign-in', { ...typed, shopCode: 'zzzzzzzz' }, last);
    expect(slip.status).toBe(401);
    expect(await slip.text()).toContain('name="shopCode" value="zzzzzzzz"');
  });
});

describe('contract: what is no form', () => {
  it.each([
    ['JSON', 'application/json', '{}'],
    ['parts without an end', 'multipart/form-data; boundary=x', '--x\r\nContent-Disposition'],
  ])('is the sender’s fault, and told so: %s', async (_, type, body) => {
    const headers = { 'Content-Type': type, 'Sec-Fetch-Site': 'same-origin', Accept: 'text/html' };
    const answer = await app.call('POST', '/sign-in', { body, headers });
    expect(answer.status).toBe(400);
    expect(await answer.text()).toContain('no form that can be read');
  });
});
