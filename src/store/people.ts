import { randomUUID } from 'node:crypto';
import { and, asc, eq, isNull } from 'drizzle-orm';
import { entryLink, person, session } from '../../db/schema.ts';
import type { NewPerson, Person } from '../domain/person.ts';
import type { Role } from '../domain/vocabulary.ts';
import { isPassword } from './passwords.ts';
import { type Database, inShop, type ShopTransaction } from './shop-scope.ts';

/** Everybody of the shop who may sign in or could once, by name. */
export async function listPeople(tx: ShopTransaction): Promise<Person[]> {
  const rows = await tx.orm.select().from(person).orderBy(asc(person.name), asc(person.personId));
  return rows.map(toPerson);
}

export async function readPerson(tx: ShopTransaction, personId: string): Promise<Person | undefined> {
  const [row] = await tx.orm.select().from(person).where(eq(person.personId, personId));
  return row && toPerson(row);
}

/** The same, and nobody of the shop is changed by others until the end of this transaction; in the order of isLastOwner, lest two wait for each other. */
export async function holdPerson(tx: ShopTransaction, personId: string): Promise<Person | undefined> {
  const rows = await tx.orm.select().from(person).orderBy(asc(person.personId)).for('no key update');
  const row = rows.find((one) => one.personId === personId);
  return row && toPerson(row);
}

/** Adds someone who has no password yet; undefined where the sign-in name is taken. */
export async function addPerson(tx: ShopTransaction, wanted: NewPerson): Promise<Person | undefined> {
  const [row] = await tx.orm
    .insert(person)
    .values({ shopId: tx.shopId, personId: randomUUID(), ...wanted })
    .onConflictDoNothing({ target: [person.shopId, person.signInName] })
    .returning();
  return row && toPerson(row);
}

/** Sets what somebody may do; `last-owner` where nobody would be left to look after the shop. */
export async function setRole(tx: ShopTransaction, personId: string, role: Role): Promise<'done' | 'last-owner'> {
  if (role !== 'owner' && (await isLastOwner(tx, personId))) return 'last-owner';
  await tx.orm.update(person).set({ role }).where(eq(person.personId, personId));
  return 'done';
}

/** Lets somebody in no more: sessions and links end with it. What the person recorded stays. */
export async function letGo(tx: ShopTransaction, personId: string, now: Date): Promise<'done' | 'last-owner'> {
  if (await isLastOwner(tx, personId)) return 'last-owner';
  await tx.orm.update(person).set({ leftAt: now, passwordHash: null }).where(eq(person.personId, personId));
  await tx.orm.delete(session).where(eq(session.personId, personId));
  await tx.orm.delete(entryLink).where(eq(entryLink.personId, personId));
  return 'done';
}

/**
 * Stores the password of somebody who was invited, and lets in again whoever had left; `passwordHash` comes from
 * `hashPassword`, made outside the transaction.
 */
export async function setPasswordHash(tx: ShopTransaction, personId: string, passwordHash: string): Promise<void> {
  await tx.orm.update(person).set({ passwordHash, leftAt: null }).where(eq(person.personId, personId));
}

/** Stores another password of somebody who has one; nothing changes for whoever was let go meanwhile. */
export async function changePasswordHash(tx: ShopTransaction, personId: string, passwordHash: string): Promise<void> {
  const still = and(eq(person.personId, personId), isNull(person.leftAt));
  await tx.orm.update(person).set({ passwordHash }).where(still);
}

/** Who signs in with this name and password, undefined where nobody does. */
export async function checkPassword(
  db: Database,
  shopId: string,
  given: { readonly signInName: string; readonly password: string },
): Promise<Person | undefined> {
  const found = await inShop(db, shopId, async (tx) => {
    const [row] = await tx.orm
      .select()
      .from(person)
      .where(and(eq(person.signInName, given.signInName), isNull(person.leftAt)));
    return row;
  });
  // Outside the transaction: the slow hash must hold no connection.
  return (await isPassword(found?.passwordHash, given.password)) && found ? toPerson(found) : undefined;
}

/** The owners are locked for the moment, so that two of them cannot let go of each other at once. */
async function isLastOwner(tx: ShopTransaction, personId: string): Promise<boolean> {
  const owners = await tx.orm
    .select({ personId: person.personId })
    .from(person)
    .where(and(eq(person.role, 'owner'), isNull(person.leftAt)))
    .orderBy(asc(person.personId))
    .for('update');
  return owners.some((owner) => owner.personId === personId) && owners.length === 1;
}

function toPerson(row: typeof person.$inferSelect): Person {
  const { personId, name, role, leftAt, passwordHash, technician } = row;
  const own = technician === null ? {} : { technician };
  return { personId, name, signInName: row.signInName, role, leftAt, hasPassword: passwordHash !== null, ...own };
}
