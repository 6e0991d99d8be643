import { unfinished } from './fits.ts';
import type { ShopTransaction } from './shop-scope.ts';

/**
 * Makes a stored fit the one that estimates use, the former one superseded, and adds to its reason who did so. The fit must have a posterior.
 */
export async function publishByHand(tx: ShopTransaction, fitId: string, words: string): Promise<void> {
  await tx.sql`update fit set status = 'superseded' where shop_id = ${tx.shopId} and status = 'published'`;
  await setStatus(tx, fitId, 'published', words);
}

/** Takes the published fit out of use, and adds to its reason who did so; estimates come from the rules of thumb until another is published. */
export async function withdrawByHand(tx: ShopTransaction, fitId: string, words: string): Promise<void> {
  await setStatus(tx, fitId, 'withdrawn', words);
}

async function setStatus(
  tx: ShopTransaction,
  fitId: string,
  status: 'published' | 'withdrawn',
  words: string,
): Promise<void> {
  // It holds until the records change: no night goes on with these for the months that it had left to score.
  await tx.sql`
    update fit set data_state = replace(data_state, ${unfinished}, '')
    where shop_id = ${tx.shopId} and data_state like ${`%${unfinished}`}`;
  await tx.sql`
    update fit set status = ${status}, reason = concat_ws(' ', reason, ${words}::text)
    where shop_id = ${tx.shopId} and fit_id = ${fitId}`;
}
