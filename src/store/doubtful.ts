import { inSchemaOrder } from '../domain/canonical.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { ShopTransaction } from './shop-scope.ts';

/** Which records the latest fit did not read, and which looked odd to it, as stored in its summary, by model; undefined where there is no fit. */
export async function readDoubted({ sql, shopId }: ShopTransaction): Promise<unknown> {
  const [row] = await sql<{ doubted: unknown }[]>`
    select (select jsonb_object_agg(model.key, jsonb_build_object('leftOut', model.value -> 'leftOut', 'odd', model.value -> 'odd'))
      from jsonb_each(summary -> 'models') model) as doubted
    from fit where shop_id = ${shopId} and status <> 'failed'
    order by started_at desc, fit_id desc limit 1`;
  return row?.doubted ?? undefined;
}

/** How a doubtful record stands today. */
interface RecordStanding {
  readonly ref: string;
  readonly finishedAt: Date;
  readonly isConfirmed: boolean;
  /** Replaced or followed up after the latest fit had read it. */
  readonly isChanged: boolean;
  readonly record: FinishedJob;
}

/** Of these records the ones that are still there. */
export async function readStandings(
  { sql, shopId }: ShopTransaction,
  refs: readonly string[],
): Promise<readonly RecordStanding[]> {
  const rows = await sql<RecordStanding[]>`
    select j.ref, j.finished_at as "finishedAt", j.record,
      exists (${confirmations({ sql, shopId })} and c.ref = j.ref) as "isConfirmed",
      exists (select 1 from job_version v where v.shop_id = ${shopId} and v.ref = j.ref and v.replaced_at >
        (select max(f.started_at) from fit f where f.shop_id = ${shopId} and f.status <> 'failed')) as "isChanged"
    from job j where j.shop_id = ${shopId} and j.ref = any(${[...refs]}) order by j.finished_at desc, j.ref`;
  return rows.map((row) => ({ ...row, record: inSchemaOrder(row.record) }));
}

/** Refs of the records that stand confirmed: what replaced or deleted them took the word back. */
export async function readConfirmed(tx: Pick<ShopTransaction, 'sql' | 'shopId'>): Promise<readonly string[]> {
  const rows = await tx.sql<{ ref: string }[]>`${confirmations(tx)} order by c.ref`;
  return rows.map(({ ref }) => ref);
}

/** Notes that somebody, by a key or as a person signed in, says that a record was so; false where there is none. Once is enough. */
export async function confirmRecord(
  { sql, shopId }: ShopTransaction,
  ref: string,
  by: string,
  at: Date,
): Promise<boolean> {
  const rows = await sql`select version from job where shop_id = ${shopId} and ref = ${ref} for update`;
  await sql`
    insert into job_confirmation (shop_id, ref, version, key_id, confirmed_at)
    select shop_id, ref, version, ${by}, ${at} from job where shop_id = ${shopId} and ref = ${ref}
    on conflict do nothing`;
  return rows.length > 0;
}

/** Follow-ups leave a confirmation in force: what was confirmed still stands in the record. */
function confirmations({ sql, shopId }: Pick<ShopTransaction, 'sql' | 'shopId'>) {
  return sql`
    select distinct c.ref from job_confirmation c
    where c.shop_id = ${shopId} and not exists (
      select 1 from job_version v where v.shop_id = c.shop_id and v.ref = c.ref and v.version >= c.version
        and v.reason in ('replaced', 'deleted'))`;
}
