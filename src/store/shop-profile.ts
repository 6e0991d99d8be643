import { eq } from 'drizzle-orm';
import { shop } from '../../db/schema.ts';
import type { Shop } from '../domain/shop.ts';
import type { ShopTransaction } from './shop-scope.ts';

/** Renames the shop of this transaction and moves its clock. */
export async function setShopProfile(tx: ShopTransaction, profile: Pick<Shop, 'name' | 'timeZone'>): Promise<void> {
  await tx.orm.update(shop).set({ name: profile.name, timeZone: profile.timeZone }).where(eq(shop.shopId, tx.shopId));
}
