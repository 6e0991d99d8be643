import type { RecordRow } from './records-form.ts';
import type { ShopTransaction } from './shop-scope.ts';

/** How a staged upload ended: how many of each, and the lines that conflict, the first of them up to the limit. */
export interface StagedResult {
  readonly stored: number;
  readonly unchanged: number;
  readonly conflicting: number;
  readonly conflicts: readonly { readonly line: number; readonly ref: string }[];
}

/**
 * A place in the transaction where an upload is gathered as it comes in, to be stored at its end in one pass: other
 * writers wait for that pass alone, not for the upload. It goes with the transaction.
 */
export async function openStage({ sql }: ShopTransaction): Promise<void> {
  await sql`
    create temporary table staged (
      line int not null, ref text collate "C" not null, finished_at timestamptz not null, record jsonb not null,
      digest bytea not null, stored boolean not null default false
    ) on commit drop`;
}

export async function stage(
  { sql }: ShopTransaction,
  rows: readonly (RecordRow & { readonly line: number })[],
): Promise<void> {
  const column = (field: keyof RecordRow) => rows.map((row) => row[field]).join(separator);
  await sql`
    insert into staged (line, ref, finished_at, record, digest)
    select sent.line, sent.ref, sent.finished_at::timestamptz, sent.record::jsonb, decode(sent.digest, 'hex')
    from unnest(
      ${rows.map(({ line }) => line)}::int[],
      string_to_array(${column('ref')}, ${separator}), string_to_array(${column('finishedAt')}, ${separator}),
      string_to_array(${column('json')}, ${separator}), string_to_array(${column('digest')}, ${separator})
    ) as sent (line, ref, finished_at, record, digest)`;
}

/** Stores what is new of the staged records, the first of each ref, and tells what became of every line. */
export async function storeStaged(tx: ShopTransaction, mostConflicts: number): Promise<StagedResult> {
  const { sql, shopId } = tx;
  await sql`analyze staged`;
  await sql`
    with firsts as (select distinct on (ref) * from staged order by ref, line),
    fresh as (
      insert into job (shop_id, ref, version, finished_at, record, digest)
      select ${shopId}::uuid, f.ref,
        1 + coalesce((select max(v.version) from job_version v where v.shop_id = ${shopId} and v.ref = f.ref), 0),
        f.finished_at, f.record, f.digest
      from firsts f order by f.ref
      on conflict (shop_id, ref) do nothing
      returning ref)
    update staged set stored = true from fresh, firsts
    where firsts.ref = fresh.ref collate "C" and staged.ref = firsts.ref and staged.line = firsts.line`;
  const [counts] = await sql<{ stored: number; unchanged: number }[]>`
    select count(*) filter (where s.stored)::int as stored,
      count(*) filter (where not s.stored and ${isKnown(tx)})::int as unchanged
    from staged s`;
  const conflicts = await sql<{ line: number; ref: string; total: number }[]>`
    select s.line, s.ref, (count(*) over ())::int as total from staged s
    where not s.stored and not ${isKnown(tx)} order by s.line limit ${mostConflicts}`;
  return {
    stored: counts?.stored ?? 0,
    unchanged: counts?.unchanged ?? 0,
    conflicting: conflicts[0]?.total ?? 0,
    conflicts: conflicts.map(({ line, ref }) => ({ line, ref })),
  };
}

const separator = '\x1e';

/** As `insertRecords` knows a content: present, or present before follow-ups added to it. */
function isKnown({ sql, shopId }: ShopTransaction) {
  return sql`(
    exists (select from job j where j.shop_id = ${shopId} and j.ref = s.ref and j.digest = s.digest)
    or exists (
      select from job_version v where v.shop_id = ${shopId} and v.ref = s.ref and v.digest = s.digest
        and v.reason in ('check', 'comeback') and not exists (
          select from job_version later where later.shop_id = v.shop_id and later.ref = v.ref
            and later.version >= v.version and later.reason in ('replaced', 'deleted'))))`;
}
