import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createSignInLimit } from '../../src/http/sign-in-limit.ts';
import { findLink, makeLink } from '../../src/store/entry-links.ts';
import { hashPassword } from '../../src/store/passwords.ts';
import {
  addPerson,
  changePasswordHash,
  checkPassword,
  letGo,
  setPasswordHash,
  setRole,
} from '../../src/store/people.ts';
import { beginSession, endSessionsOf, findSession, listSessions } from '../../src/store/sessions.ts';
import { inShop, type ShopTransaction } from '../../src/store/shop-scope.ts';
import { type FreshDatabase, freshDatabase, insertShop } from '../support/database.ts';

const day = 24 * 3600_000;
const start = new Date('2025-03-05T10:00:00Z');
const daysOn = (days: number) => new Date(start.getTime() + days * day);

let db: FreshDatabase;
beforeAll(async () => {
  db = await freshDatabase();
});
afterAll(() => db?.close());

/** A shop of its own with one person. */
async function someone(role: 'desk' | 'owner' = 'desk') {
  const shopId = await insertShop(db);
  const within = <T>(work: (tx: ShopTransaction) => Promise<T>) => inShop(db, shopId, work);
  const person = await within((tx) => addPerson(tx, { name: 'Invented', signInName: 'one', role }));
  if (!person) throw new Error('the first of a shop found the name taken');
  const { personId } = person;
  const signIn = (now: Date) => within((tx) => beginSession(tx, { personId, device: 'test', now }));
  return { shopId, personId, within, signIn };
}

describe('contract: a session', () => {
  it('ends a week after the last page, and a month after signing in whatever happens', async () => {
    const { signIn } = await someone();
    const idle = await signIn(start);
    expect(await findSession(db, idle, daysOn(6.9))).toMatchObject({ name: 'Invented', role: 'desk' });
    expect(await findSession(db, idle, daysOn(13.8))).toBeDefined(); // seen at 6.9
    expect(await findSession(db, idle, daysOn(20.9))).toBeUndefined();
    const busy = await signIn(start);
    for (const days of [6, 12, 18, 24, 29.9]) expect(await findSession(db, busy, daysOn(days))).toBeDefined();
    expect(await findSession(db, busy, daysOn(30.1))).toBeUndefined();
  });

  it('is stored without what lets one in', async () => {
    const { signIn, within } = await someone();
    const text = await signIn(start);
    const [row] = await within((tx) => tx.sql`select s::text as row from session s`);
    const secret = text.split('_').slice(3).join('_');
    expect(secret).toHaveLength(43);
    expect(row?.row).not.toContain(secret);
  });

  it('takes on a changed role at once, and ends with the person', async () => {
    const { signIn, within, personId } = await someone();
    const text = await signIn(start);
    await within((tx) => setRole(tx, personId, 'technician'));
    expect(await findSession(db, text, start)).toMatchObject({ role: 'technician' });
    expect(await within((tx) => letGo(tx, personId, start))).toBe('done');
    expect(await findSession(db, text, start)).toBeUndefined();
  });

  it('lets nobody in who was let go while the password was being looked at', async () => {
    const { signIn, within, personId } = await someone();
    await within((tx) => letGo(tx, personId, start));
    expect(await findSession(db, await signIn(start), start)).toBeUndefined();
  });

  it('can be ended with all others but one', async () => {
    const { signIn, within, personId } = await someone();
    const texts = [await signIn(start), await signIn(start), await signIn(start)];
    const stays = await findSession(db, texts[1] ?? '', start);
    expect(await within((tx) => endSessionsOf(tx, personId, stays?.sessionId))).toBe(2);
    expect(await Promise.all(texts.map(async (text) => (await findSession(db, text, start)) !== undefined))).toEqual([
      false,
      true,
      false,
    ]);
    expect(await within((tx) => listSessions(tx, start))).toHaveLength(1);
  });
});

describe('contract: people', () => {
  it('always leave one owner', async () => {
    const { within, personId } = await someone('owner');
    expect(await within((tx) => setRole(tx, personId, 'desk'))).toBe('last-owner');
    expect(await within((tx) => letGo(tx, personId, start))).toBe('last-owner');
    const second = await within((tx) => addPerson(tx, { name: 'Two', signInName: 'two', role: 'owner' }));
    const outcomes = await Promise.all([
      within((tx) => letGo(tx, personId, start)),
      within((tx) => letGo(tx, second?.personId ?? '', start)),
    ]);
    expect(outcomes.sort()).toEqual(['done', 'last-owner']);
  });

  it('are known by their password alone, which is stored as argon2id', async () => {
    const { shopId, within, personId } = await someone();
    const given = { signInName: 'one', password: 'four brown buckets' };
    expect(await checkPassword(db, shopId, given)).toBeUndefined();
    const hash = await hashPassword(given.password);
    expect(hash).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/);
    await within((tx) => setPasswordHash(tx, personId, hash));
    expect(await checkPassword(db, shopId, given)).toMatchObject({ personId });
    expect(await checkPassword(db, shopId, { ...given, password: 'four brown bucket' })).toBeUndefined();
    expect(await checkPassword(db, shopId, { ...given, signInName: 'two' })).toBeUndefined();
    const other = await someone();
    expect(await checkPassword(db, other.shopId, given)).toBeUndefined();
  });

  it('who were let go while they changed their password stay so', async () => {
    const { shopId, within, personId } = await someone();
    const given = { signInName: 'one', password: 'four brown buckets' };
    const passwordHash = await hashPassword(given.password);
    await within((tx) => setPasswordHash(tx, personId, passwordHash));
    await within((tx) => letGo(tx, personId, start));
    await within((tx) => changePasswordHash(tx, personId, passwordHash));
    expect(await checkPassword(db, shopId, given)).toBeUndefined();
    await within((tx) => setPasswordHash(tx, personId, passwordHash)); // invited anew
    expect(await checkPassword(db, shopId, given)).toMatchObject({ personId });
  });

  it('share no sign-in name within a shop', async () => {
    const { within } = await someone();
    expect(await within((tx) => addPerson(tx, { name: 'X', signInName: 'one', role: 'desk' }))).toBeUndefined();
  });
});

describe('contract: one-time links', () => {
  it('run out, and give way to a newer one', async () => {
    const { within, personId } = await someone();
    const make = () => within((tx) => makeLink(tx, personId, 'set-password', start));
    const tokenOf = ({ path }: { path: string }) => path.split('/').at(-1) ?? '';
    const first = tokenOf(await make());
    expect(await findLink(db, first, 'set-password', daysOn(6.9))).toMatchObject({ person: { personId } });
    expect(await findLink(db, first, 'set-password', daysOn(7.1))).toBeUndefined();
    const second = tokenOf(await make());
    expect(await findLink(db, first, 'set-password', start)).toBeUndefined();
    expect(await findLink(db, second, 'set-password', start)).toBeDefined();
  });
});

describe('contract: tries of a password', () => {
  it('are limited for one account from one address, and leave others alone', () => {
    let nowMs = 0;
    const limit = createSignInLimit(() => nowMs);
    const waits = (account: string, address: string) => 'waitMs' in limit(account, address);
    const tries = Array.from({ length: 9 }, () => waits('ana', '192.0.2.1'));
    expect(tries).toEqual([...Array(8).fill(false), true]);
    expect(waits('ana', '192.0.2.2')).toBe(false);
    expect(waits('bea', '192.0.2.1')).toBe(false);
    nowMs = 15 * 60_000 + 1;
    expect(waits('ana', '192.0.2.1')).toBe(false);
  });

  it('are limited for one account from anywhere, and for one address on all accounts', () => {
    const limit = createSignInLimit(() => 0);
    const waits = (account: string, address: string) => 'waitMs' in limit(account, address);
    const scattered = Array.from({ length: 41 }, (_, i) => waits('ana', `192.0.2.${i}`));
    expect(scattered.filter((waiting) => waiting)).toHaveLength(1);
    const list = Array.from({ length: 61 }, (_, i) => waits(`name${i}`, '198.51.100.1'));
    expect(list.filter((waiting) => waiting)).toHaveLength(1);
  });

  it('begin anew after the right one', () => {
    const limit = createSignInLimit(() => 0);
    for (let i = 0; i < 30; i += 1) {
      const turn = limit('ana', '192.0.2.1');
      expect('right' in turn).toBe(true);
      if (i % 5 === 4 && 'right' in turn) turn.right();
    }
  });
});
