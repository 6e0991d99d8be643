import type { ShopTransaction } from './shop-scope.ts';

/**
 * What a fit would be made from, in one line: how many jobs, how many former versions, and a digest of the lists,
 * the settings and what was confirmed. Every change of a job leaves a version behind, so no change keeps both counts.
 */
export async function dataState(tx: ShopTransaction): Promise<string> {
  const { shopId, sql } = tx;
  const [row] = await sql<{ state: string }[]>`
    select concat_ws('.',
      (select count(*) from job where shop_id = ${shopId}),
      (select count(*) from job_version where shop_id = ${shopId}),
      left(encode(sha256(convert_to(concat_ws(e'\n',
        (select string_agg(t::text, e'\n' order by t.key) from technician t where t.shop_id = ${shopId}),
        (select string_agg(m::text, e'\n' order by m.key) from machine m where m.shop_id = ${shopId}),
        (select string_agg(concat_ws(' ', c.ref, c.version), e'\n' order by c.ref, c.version)
          from job_confirmation c where c.shop_id = ${shopId}),
        (select concat_ws(e'\n', s.time_zone, s.settings) from shop s where s.shop_id = ${shopId})
      ), 'UTF8')), 'hex'), 16)) as state`;
  if (!row) throw new Error('a query of aggregates gave no row');
  return row.state;
}
