import { numberAfter, prefixOf } from '../domain/job-number.ts';
import type { ShopTransaction } from './shop-scope.ts';

/**
 * The number after the shop's highest of those that begin as its latest job's does: after `T-0754` comes `T-0755`.
 * Undefined where the latest does not end in digits.
 */
export async function nextNumber({ sql, shopId }: ShopTransaction): Promise<string | undefined> {
  const [latest] = await sql<{ ref: string }[]>`
    select ref from job where shop_id = ${shopId} order by finished_at desc, ref desc limit 1`;
  if (!latest) return '1';
  const prefix = prefixOf(latest.ref);
  const [row] = await sql<{ highest: string | null }[]>`
    select ref as highest from (
      select ref, substr(ref, ${prefix.length + 1}::int) as digits from job
      where shop_id = ${shopId} and starts_with(ref, ${prefix})
    ) as numbered
    where digits ~ '^[0-9]{1,15}$' order by digits::numeric desc limit 1`;
  return row?.highest ? numberAfter(row.highest) : undefined;
}
