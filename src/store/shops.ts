import { randomUUID } from 'node:crypto';
import { eq } from 'drizzle-orm';
import { shop } from '../../db/schema.ts';
import type { NewShop, Shop } from '../domain/shop.ts';
import { newShop } from '../domain/shop.ts';
import type { ShopSettings } from '../domain/shop-settings.ts';
import { shopSettings } from '../domain/shop-settings.ts';
import type { Database, ShopTransaction } from './shop-scope.ts';
import { inShop } from './shop-scope.ts';

/** Opens a shop. Throws zod's error where the name, time zone or settings do not hold. */
export async function createShop(db: Database, input: NewShop): Promise<Shop> {
  const wanted = newShop.parse(input);
  const shopId = randomUUID();
  const [row] = await inShop(db, shopId, (tx) =>
    tx.orm
      .insert(shop)
      .values({ shopId, ...wanted })
      .returning(),
  );
  if (!row) throw new Error(`shop ${shopId} was not stored`);
  return toShop(row);
}

/** The shop of this transaction, undefined where there is none of that id. In plain SQL: every estimate and every page asks for it. */
export async function readShop({ sql, shopId }: ShopTransaction): Promise<Shop | undefined> {
  const [row] = await sql<(typeof shop.$inferSelect)[]>`
    select shop_id as "shopId", name, time_zone as "timeZone", settings, invented, created_at as "createdAt"
    from shop where shop_id = ${shopId}`;
  return row && toShop(row);
}

/** The same where it must be there. */
export async function readOwnShop(tx: ShopTransaction): Promise<Shop> {
  const found = await readShop(tx);
  if (!found) throw new Error(`shop ${tx.shopId} does not exist`);
  return found;
}

/** The settings of this transaction's shop, the defaults filled in. */
export async function readShopSettings(tx: ShopTransaction): Promise<ShopSettings> {
  return (await readOwnShop(tx)).settings;
}

/** Replaces all settings of this transaction's shop. */
export async function replaceShopSettings(tx: ShopTransaction, settings: ShopSettings): Promise<void> {
  await tx.orm.update(shop).set({ settings }).where(eq(shop.shopId, tx.shopId));
}

/** Renames the shop of this transaction and moves its clock. */
export async function setShopProfile(tx: ShopTransaction, { name, timeZone }: Pick<Shop, 'name' | 'timeZone'>) {
  await tx.orm.update(shop).set({ name, timeZone }).where(eq(shop.shopId, tx.shopId));
}

/** The shop as it stands, which nobody else changes until the end of this transaction: whoever does now is waited for. */
export async function holdOwnShop(tx: ShopTransaction): Promise<Shop> {
  await tx.sql`select from shop where shop_id = ${tx.shopId} for no key update`;
  return readOwnShop(tx);
}

/** Changes settings of this transaction's shop, and keeps the others as they are by then. */
export async function changeShopSettings(
  tx: ShopTransaction,
  change: (settings: ShopSettings) => ShopSettings,
): Promise<void> {
  await replaceShopSettings(tx, change((await holdOwnShop(tx)).settings));
}

/** Every shop, with no more of it than the nightly schedule needs: the one question asked across shops. */
export async function listShopsForNightly(db: Database): Promise<{ shopId: string; timeZone: string }[]> {
  return [
    ...(await db.sql<{ shopId: string; timeZone: string }[]>`
      select shop_id as "shopId", time_zone as "timeZone" from shops_for_nightly()`),
  ];
}

const toShop = (row: typeof shop.$inferSelect): Shop => ({ ...row, settings: shopSettings.parse(row.settings) });
