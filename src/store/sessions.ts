import { and, asc, desc, eq, gt, isNull, lt, ne, or } from 'drizzle-orm';
import { person, session, shop } from '../../db/schema.ts';
import type { Shop } from '../domain/shop.ts';
import { shopSettings } from '../domain/shop-settings.ts';
import type { Role } from '../domain/vocabulary.ts';
import { type Database, inShop, type ShopTransaction } from './shop-scope.ts';
import { makeToken, readToken, sameSecret } from './token.ts';

const day = 24 * 3600_000;
/** A month after signing in, or a week after the last page, a device has to sign in again. */
export const sessionEnds = { absoluteMs: 30 * day, idleMs: 7 * day } as const;
/** How stale `seenAt` may be: a page view must not cost a write. */
const seenEveryMs = 5 * 60_000;

/** Who is at the other end of a request, and of which shop. */
export interface Session {
  readonly sessionId: string;
  readonly personId: string;
  readonly name: string;
  readonly role: Role;
  /** Who that is in the list of technicians, where it is one of them. */
  readonly technician: string | null;
  readonly shop: Shop;
}

export interface OpenSession {
  readonly sessionId: string;
  readonly personId: string;
  readonly name: string;
  readonly device: string;
  readonly begunAt: Date;
  readonly seenAt: Date;
}

/** Signs a person in on one device; `text` is for the cookie and seen only now. Takes ended sessions of the shop away. */
export async function beginSession(
  tx: ShopTransaction,
  { personId, device, now }: { readonly personId: string; readonly device: string; readonly now: Date },
): Promise<string> {
  await tx.orm.delete(session).where(or(lt(session.endsAt, now), lt(session.seenAt, idleSince(now))));
  const { id, secretHash, text } = makeToken(prefix, tx.shopId);
  const endsAt = new Date(now.getTime() + sessionEnds.absoluteMs);
  const times = { begunAt: now, seenAt: now, endsAt };
  await tx.orm
    .insert(session)
    .values({ shopId: tx.shopId, sessionId: id, personId, secretHash, device: device.slice(0, 200), ...times });
  return text;
}

/** The session of a cookie's text, undefined where it is none that still runs, or of somebody let go while signing in. */
export async function findSession(db: Database, text: string, now: Date): Promise<Session | undefined> {
  const token = readToken(prefix, text);
  if (!token) return undefined;
  return inShop(db, token.shopId, async (tx) => {
    const found = await running(tx, token.id, now);
    if (!sameSecret(token, found?.session.secretHash) || !found) return undefined;
    if (now.getTime() - found.session.seenAt.getTime() > seenEveryMs)
      await tx.orm.update(session).set({ seenAt: now }).where(eq(session.sessionId, token.id));
    const { personId, name, role, technician } = found.person;
    const settings = shopSettings.parse(found.shop.settings);
    return { sessionId: token.id, personId, name, role, technician, shop: { ...found.shop, settings } };
  });
}

/** The devices that are signed in, the one seen last first. */
export async function listSessions(tx: ShopTransaction, now: Date, personId?: string): Promise<OpenSession[]> {
  const { sessionId, device, begunAt, seenAt } = session;
  return tx.orm
    .select({ sessionId, personId: session.personId, name: person.name, device, begunAt, seenAt })
    .from(session)
    .innerJoin(person, eq(person.personId, session.personId))
    .where(and(stillOpen(now), personId === undefined ? undefined : eq(session.personId, personId)))
    .orderBy(desc(seenAt), asc(sessionId));
}

/** Ends one session; false where there was none. */
export async function endSession(tx: ShopTransaction, sessionId: string): Promise<boolean> {
  const ended = await tx.orm
    .delete(session)
    .where(eq(session.sessionId, sessionId))
    .returning({ sessionId: session.sessionId });
  return ended.length > 0;
}

/** Ends all sessions of a person, but for the one that is to stay; says how many. */
export async function endSessionsOf(tx: ShopTransaction, personId: string, stays?: string): Promise<number> {
  const other = stays === undefined ? undefined : ne(session.sessionId, stays);
  const ended = await tx.orm
    .delete(session)
    .where(and(eq(session.personId, personId), other))
    .returning({ sessionId: session.sessionId });
  return ended.length;
}

const prefix = 'sps';

const idleSince = (now: Date) => new Date(now.getTime() - sessionEnds.idleMs);
const stillOpen = (now: Date) => and(gt(session.endsAt, now), gt(session.seenAt, idleSince(now)));

async function running(tx: ShopTransaction, sessionId: string, now: Date) {
  const [found] = await tx.orm
    .select({ session, person, shop })
    .from(session)
    .innerJoin(person, eq(person.personId, session.personId))
    .innerJoin(shop, eq(shop.shopId, session.shopId))
    .where(and(eq(session.sessionId, sessionId), stillOpen(now), isNull(person.leftAt)));
  return found;
}
