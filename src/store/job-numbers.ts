import type { ShopTransaction } from './shop-scope.ts';

/** One more than the shop's highest job number; undefined where its job numbers are no plain numbers. */
export async function nextNumber({ sql, shopId }: ShopTransaction): Promise<string | undefined> {
  const [row] = await sql<{ next: string | null; jobs: number }[]>`
    select (max(case when ref ~ '^[0-9]{1,15}$' then ref::bigint end) + 1)::text as next, count(*)::int as jobs
    from job where shop_id = ${shopId}`;
  return row?.jobs === 0 ? '1' : (row?.next ?? undefined);
}
