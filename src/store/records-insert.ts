import type { RecordRow } from './records-form.ts';
import type { ShopTransaction } from './shop-scope.ts';

/** What became of a record that was sent: new; there already with this content; there with other content. */
export type Outcome =
  | { readonly kind: 'stored'; readonly version: number }
  | { readonly kind: 'unchanged' }
  | { readonly kind: 'conflicting' };

/**
 * Stores what is new among `rows`, in one statement, and tells of each what became of it. A record sent twice at once
 * is stored once: the second waits for the first and finds it there. Rows go in by ref, so that transactions that want
 * the same refs cannot wait for each other in a circle.
 */
export async function insertRecords(tx: ShopTransaction, rows: readonly RecordRow[]): Promise<Outcome[]> {
  const versions = await insertNew(tx, rows);
  const outcomes = rows.map(({ ref }) => taken(versions, ref));
  const others = rows.filter((_, i) => outcomes[i] === undefined).map(({ ref }) => ref);
  const known = others.length === 0 ? undefined : await knownDigests(tx, others);
  return rows.map(
    ({ ref, digest }, i) => outcomes[i] ?? { kind: known?.get(ref)?.has(digest) ? 'unchanged' : 'conflicting' },
  );
}

/** The first row of a ref is the one that was stored. */
function taken(versions: Map<string, number>, ref: string): Outcome | undefined {
  const version = versions.get(ref);
  versions.delete(ref);
  return version === undefined ? undefined : { kind: 'stored', version };
}

/** Refs hold no control characters and JSON text escapes them, so this one can stand between texts. */
const separator = '\x1e';

/** A job that was deleted leaves its versions behind: a new one of the same ref counts on from them. */
async function insertNew({ sql, shopId }: ShopTransaction, rows: readonly RecordRow[]): Promise<Map<string, number>> {
  const column = (field: keyof RecordRow) => rows.map((row) => row[field]).join(separator);
  const inserted = await sql<{ ref: string; version: number }[]>`
    insert into job (shop_id, ref, version, finished_at, record, digest)
    select ${shopId}::uuid, sent.ref,
      1 + coalesce((select max(v.version) from job_version v where v.shop_id = ${shopId} and v.ref = sent.ref), 0),
      sent.finished_at::timestamptz, sent.record::jsonb, decode(sent.digest, 'hex')
    from unnest(
      string_to_array(${column('ref')}, ${separator}), string_to_array(${column('finishedAt')}, ${separator}),
      string_to_array(${column('json')}, ${separator}), string_to_array(${column('digest')}, ${separator})
    ) with ordinality as sent (ref, finished_at, record, digest, line)
    order by sent.ref collate "C", sent.line
    on conflict (shop_id, ref) do nothing
    returning ref, version`;
  return new Map(inserted.map(({ ref, version }) => [ref, version]));
}

/**
 * The digests under which each ref is known: its present content, and what it was before follow-ups added to it, for a
 * record may be sent again after a drying check came in. What was replaced or deleted on purpose is not known any more.
 */
async function knownDigests(
  { sql, shopId }: ShopTransaction,
  refs: readonly string[],
): Promise<ReadonlyMap<string, ReadonlySet<string>>> {
  const rows = await sql<{ ref: string; digest: string }[]>`
    select ref, encode(digest, 'hex') as digest from job where shop_id = ${shopId} and ref = any(${[...refs]}::text[])
    union all
    select v.ref, encode(v.digest, 'hex') from job_version v
    where v.shop_id = ${shopId} and v.ref = any(${[...refs]}::text[]) and v.reason in ('check', 'comeback')
      and not exists (
        select from job_version later where later.shop_id = v.shop_id and later.ref = v.ref
          and later.version >= v.version and later.reason in ('replaced', 'deleted'))`;
  const known = new Map<string, Set<string>>();
  for (const { ref, digest } of rows) known.set(ref, (known.get(ref) ?? new Set()).add(digest));
  return known;
}
