import type { FinishedJob } from '../domain/record.ts';
import type { ShopTransaction } from './shop-scope.ts';

/** Enough that round trips do not count, few enough that memory stays flat. */
const rowsAtOnce = 500;

/** All finished jobs of the shop by the time they ended, read by a cursor: never more than one batch is held here. */
export async function* readAllRecords(tx: ShopTransaction): AsyncIterable<FinishedJob> {
  const batches = tx.sql<{ record: FinishedJob }[]>`
    select record from job where shop_id = ${tx.shopId} order by finished_at, ref`.cursor(rowsAtOnce);
  for await (const batch of batches) for (const { record } of batch) yield record;
}
