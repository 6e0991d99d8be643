import type { ShopTransaction } from './shop-scope.ts';

/** One change of a shop's fits at a time, over all processes: the lock ends with its transaction, however that ends. False where another holds it. */
export async function lockRun(tx: ShopTransaction): Promise<boolean> {
  const [row] = await tx.sql<{ locked: boolean }[]>`
    select pg_try_advisory_xact_lock(hashtextextended('run ' || ${tx.shopId}, 0)) as locked`;
  return row?.locked ?? false;
}
