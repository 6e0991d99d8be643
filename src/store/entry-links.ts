/** Links that let one person in once: an invitation to choose a password, or a way in for a demonstration. */
import { and, eq, gt } from 'drizzle-orm';
import { entryLink, type linkPurposes, person } from '../../db/schema.ts';
import type { Person } from '../domain/person.ts';
import type { Role } from '../domain/vocabulary.ts';
import { addPerson, listPeople, readPerson } from './people.ts';
import { type Database, inShop, type ShopTransaction } from './shop-scope.ts';
import { makeToken, readToken, sameSecret, type Token } from './token.ts';

type LinkPurpose = (typeof linkPurposes)[number];

const hour = 3600_000;
const lastsMs: Readonly<Record<LinkPurpose, number>> = { 'set-password': 7 * 24 * hour, 'sign-in': 24 * hour };
const pathOf: Readonly<Record<LinkPurpose, string>> = { 'set-password': '/invite/', 'sign-in': '/enter/' };
const prefix = 'spl';

interface FoundLink {
  readonly shopId: string;
  readonly linkId: string;
  readonly person: Person;
}

/** A new link for a person, in the place of any of the same purpose; the path is seen only now. */
export async function makeLink(
  tx: ShopTransaction,
  personId: string,
  purpose: LinkPurpose,
  now: Date,
): Promise<{ path: string; endsAt: Date }> {
  const mine = and(eq(entryLink.personId, personId), eq(entryLink.purpose, purpose));
  await tx.orm.delete(entryLink).where(mine);
  const { id, secretHash, text } = makeToken(prefix, tx.shopId);
  const endsAt = new Date(now.getTime() + lastsMs[purpose]);
  await tx.orm
    .insert(entryLink)
    .values({ shopId: tx.shopId, linkId: id, personId, purpose, secretHash, madeAt: now, endsAt });
  return { path: pathOf[purpose] + text, endsAt };
}

/** Whose link it is, without using it up; undefined where it is none in force. */
export async function findLink(
  db: Database,
  text: string,
  purpose: LinkPurpose,
  now: Date,
): Promise<FoundLink | undefined> {
  const token = readToken(prefix, text);
  if (!token) return undefined;
  return inShop(db, token.shopId, async (tx) => {
    const personId = await holderOf(tx, token, purpose, now);
    const holder = personId === undefined ? undefined : await readPerson(tx, personId);
    return holder && { shopId: token.shopId, linkId: token.id, person: holder };
  });
}

/** Uses the link up: true for the one caller who got it, however many try at once. */
export async function useLink(tx: ShopTransaction, linkId: string): Promise<boolean> {
  const used = await tx.orm
    .delete(entryLink)
    .where(eq(entryLink.linkId, linkId))
    .returning({ linkId: entryLink.linkId });
  return used.length > 0;
}

/**
 * A path that signs in once as somebody of this role, for demonstrations: as the first who has it, or, in a shop with
 * nobody of that role, as one added for it.
 */
export async function createSignInLink(db: Database, shopId: string, role: Role, now: Date): Promise<string> {
  return inShop(db, shopId, async (tx) => {
    const holder = (await listPeople(tx)).find((one) => one.role === role && one.leftAt === null);
    const someone = holder ?? (await addPerson(tx, { name: `Invented ${role}`, signInName: `demo-${role}`, role }));
    if (!someone) throw new Error(`the sign-in name demo-${role} is taken by somebody who has left`);
    return (await makeLink(tx, someone.personId, 'sign-in', now)).path;
  });
}

async function holderOf(
  tx: ShopTransaction,
  token: Token,
  purpose: LinkPurpose,
  now: Date,
): Promise<string | undefined> {
  const [found] = await tx.orm
    .select({ secretHash: entryLink.secretHash, personId: entryLink.personId })
    .from(entryLink)
    .innerJoin(person, eq(person.personId, entryLink.personId))
    .where(and(eq(entryLink.linkId, token.id), eq(entryLink.purpose, purpose), gt(entryLink.endsAt, now)));
  return sameSecret(token, found?.secretHash) ? found?.personId : undefined;
}
