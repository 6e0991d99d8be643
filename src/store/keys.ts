/** API keys: tokens with ids of twelve digits, `spk_<shop>_<key id>_<secret>`. */
import { and, asc, eq, isNull } from 'drizzle-orm';
import { apiKey, shop } from '../../db/schema.ts';
import type { Role } from '../domain/vocabulary.ts';
import type { Database, ShopTransaction } from './shop-scope.ts';
import { inShop } from './shop-scope.ts';
import { makeToken, readToken, sameSecret } from './token.ts';

export interface StoredKey {
  readonly keyId: string;
  readonly role: Role;
  readonly label: string;
  readonly createdAt: Date;
  readonly revokedAt: Date | null;
}

/** Whose key it is, and what it may do. */
export interface KeyHolder {
  readonly shopId: string;
  readonly keyId: string;
  readonly role: Role;
  readonly timeZone: string;
}

/** Makes a key; `text` is the only time that the whole key is seen. */
export async function createKey(
  tx: ShopTransaction,
  { role, label }: Pick<StoredKey, 'role' | 'label'>,
): Promise<{ keyId: string; text: string }> {
  const { id: keyId, secretHash, text } = makeToken(prefix, tx.shopId, 6);
  await tx.orm.insert(apiKey).values({ shopId: tx.shopId, keyId, role, label, secretHash });
  return { keyId, text };
}

/** All keys of the shop, oldest first, revoked ones too; never their secrets. */
export async function listKeys(tx: ShopTransaction): Promise<StoredKey[]> {
  const { keyId, role, label, createdAt, revokedAt } = apiKey;
  return tx.orm.select({ keyId, role, label, createdAt, revokedAt }).from(apiKey).orderBy(asc(createdAt), asc(keyId));
}

/** The ids of the owner keys in force, locked for the moment, so that two of them cannot revoke each other at once. */
export async function lockOwnerKeys(tx: ShopTransaction): Promise<string[]> {
  const owners = await tx.orm
    .select({ keyId: apiKey.keyId })
    .from(apiKey)
    .where(and(eq(apiKey.role, 'owner'), isNull(apiKey.revokedAt)))
    .orderBy(asc(apiKey.keyId))
    .for('update');
  return owners.map(({ keyId }) => keyId);
}

/** Ends a key; false where the shop has no such key in force. */
export async function revokeKey(tx: ShopTransaction, keyId: string): Promise<boolean> {
  if (!/^[0-9a-f]{12}$/.test(keyId)) return false; // an address may hold what PostgreSQL's text cannot
  const ended = await tx.orm
    .update(apiKey)
    .set({ revokedAt: new Date() })
    .where(and(eq(apiKey.keyId, keyId), isNull(apiKey.revokedAt)))
    .returning({ keyId: apiKey.keyId });
  return ended.length > 0;
}

/** The holder of the key, undefined where the text is no key in force. Takes as long for a wrong secret as for a right one. */
export async function verifyKey(db: Database, text: string): Promise<KeyHolder | undefined> {
  const token = readToken(prefix, text);
  if (!token) return undefined;
  const { shopId, id: keyId } = token;
  const found = await inShop(db, shopId, (tx) => findKey(tx, keyId));
  const same = sameSecret(token, found?.secretHash);
  return found && same ? { shopId, keyId, role: found.role, timeZone: found.timeZone } : undefined;
}

async function findKey(tx: ShopTransaction, keyId: string) {
  const [found] = await tx.orm
    .select({ secretHash: apiKey.secretHash, role: apiKey.role, timeZone: shop.timeZone })
    .from(apiKey)
    .innerJoin(shop, eq(shop.shopId, apiKey.shopId))
    .where(and(eq(apiKey.keyId, keyId), isNull(apiKey.revokedAt)));
  return found;
}

const prefix = 'spk';
