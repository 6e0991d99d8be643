import type { TransactionSql } from 'postgres';
import { inSchemaOrder } from '../domain/canonical.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { Fabric, Role, Soil } from '../domain/vocabulary.ts';
import type { Change } from './records-change.ts';
import type { StoredRecord } from './records-form.ts';
import type { ShopTransaction } from './shop-scope.ts';

/** A calendar day where the shop is. */
export interface LocalDay {
  readonly day: string;
  readonly timeZone: string;
}

/** Which records: each condition given holds. A day counts as a whole; an instant is included as `from`, not as `to`. */
export interface RecordFilter {
  readonly from?: Date | LocalDay | undefined;
  readonly to?: Date | LocalDay | undefined;
  /** Named in the labour or as who worked a section. */
  readonly technician?: string | undefined;
  readonly extractor?: string | undefined;
  /** With a soil too: one section has both. */
  readonly fabric?: Fabric | undefined;
  readonly soil?: Soil | undefined;
  /** Each of these words is found in the ref; capitals of plain letters do not matter. */
  readonly words?: readonly string[] | undefined;
}

/** The last record of a page: the next begins after it. */
export interface PagePlace {
  readonly finishedAt: Date;
  readonly ref: string;
}

export interface RecordPage {
  readonly records: readonly FinishedJob[];
  /** Where the next page begins; undefined on the last. */
  readonly next?: PagePlace | undefined;
}

/** A former content of a record. */
export interface FormerVersion {
  readonly version: number;
  readonly replacedAt: Date;
  readonly reason: Change;
  /** A person, or a key by its label, with the role of now; null where it was not kept. */
  readonly changedBy: { readonly name: string; readonly role: Role; readonly as: 'person' | 'key' } | null;
}

export async function readRecord({ sql, shopId }: ShopTransaction, ref: string): Promise<StoredRecord | undefined> {
  const [row] = await sql<StoredRecord[]>`
    select record, version, encode(digest, 'hex') as digest from job where shop_id = ${shopId} and ref = ${ref}`;
  return row && { ...row, record: inSchemaOrder(row.record) };
}

/** One page of records by the time they ended, then by ref; records that come in meanwhile shift no page. */
export async function readRecordPage(
  { sql, shopId }: ShopTransaction,
  filter: RecordFilter,
  page: { readonly after?: PagePlace | undefined; readonly limit: number; readonly newestFirst?: boolean },
): Promise<RecordPage> {
  const direction = page.newestFirst ? sql`desc` : sql`asc`;
  const beyond = page.newestFirst ? sql`<` : sql`>`;
  const rows = await sql<{ record: FinishedJob; finishedAt: Date; ref: string }[]>`
    select record, finished_at as "finishedAt", ref from job where shop_id = ${shopId}
      ${page.after ? sql`and (finished_at, ref) ${beyond} (${page.after.finishedAt}, ${page.after.ref})` : sql``}
      ${conditions(sql, filter)}
    order by finished_at ${direction}, ref ${direction} limit ${page.limit + 1}`;
  const shown = rows.slice(0, page.limit);
  const last = rows.length > page.limit ? shown.at(-1) : undefined;
  return {
    records: shown.map(({ record }) => inSchemaOrder(record)),
    next: last && { finishedAt: last.finishedAt, ref: last.ref },
  };
}

/** How many records there are of this kind, counted up to `most` and one more: then there are more than that. */
export async function countRecords(
  { sql, shopId }: ShopTransaction,
  filter: RecordFilter,
  most: number,
): Promise<number> {
  const [row] = await sql<{ count: number }[]>`
    select count(*)::int as count from (
      select 1 from job where shop_id = ${shopId} ${conditions(sql, filter)} limit ${most + 1}) found`;
  return row?.count ?? 0;
}

/** The former contents of a record, the oldest first; also of one that was deleted. */
export async function listVersions(tx: ShopTransaction, ref: string): Promise<FormerVersion[]> {
  const { sql, shopId } = tx;
  return [
    ...(await sql<FormerVersion[]>`
      select v.version, v.replaced_at as "replacedAt", v.reason, ${whoChanged(tx)} from job_version v
      where v.shop_id = ${shopId} and v.ref = ${ref} order by v.version`),
  ];
}

/** The same with what each version held. */
export async function readVersions(
  tx: ShopTransaction,
  ref: string,
): Promise<(FormerVersion & { readonly record: FinishedJob })[]> {
  const { sql, shopId } = tx;
  const rows = await sql<(FormerVersion & { readonly record: FinishedJob })[]>`
    select v.version, v.replaced_at as "replacedAt", v.reason, v.record, ${whoChanged(tx)} from job_version v
    where v.shop_id = ${shopId} and v.ref = ${ref} order by v.version`;
  return rows.map((row) => ({ ...row, record: inSchemaOrder(row.record) }));
}

/** Of a version `v`. */
function whoChanged({ sql, shopId }: ShopTransaction) {
  return sql`coalesce(
    (select json_build_object('name', name, 'role', role, 'as', 'person') from person
      where shop_id = ${shopId} and person_id::text = v.changed_by),
    (select json_build_object('name', label, 'role', role, 'as', 'key') from api_key
      where shop_id = ${shopId} and key_id = v.changed_by)) as "changedBy"`;
}

/** One content of a record by its version, a former or the present one. */
export async function readVersion(
  { sql, shopId }: ShopTransaction,
  ref: string,
  version: number,
): Promise<FinishedJob | undefined> {
  const [row] = await sql<{ record: FinishedJob }[]>`
    select record from job_version where shop_id = ${shopId} and ref = ${ref} and version = ${version}
    union all
    select record from job where shop_id = ${shopId} and ref = ${ref} and version = ${version}
    limit 1`;
  return row && inSchemaOrder(row.record);
}

function conditions(sql: TransactionSql, filter: RecordFilter) {
  const { from, to, technician, extractor, fabric, soil, words = [] } = filter;
  return sql`
    ${from ? sql`and finished_at >= ${startOf(sql, from, 0)}` : sql``}
    ${to ? sql`and finished_at < ${startOf(sql, to, 1)}` : sql``}
    ${
      technician === undefined
        ? sql``
        : sql`and (record @> ${text({ labour: [{ technician }] })}::text::jsonb
        or record @> ${text({ sections: [{ technician }] })}::text::jsonb)`
    }
    ${extractor === undefined ? sql`` : sql`and record ->> 'extractor' = ${extractor}`}
    ${(fabric ?? soil) ? sql`and record @> ${text({ sections: [{ fabric, soil }] })}::text::jsonb` : sql``}
    ${
      words.length === 0
        ? sql``
        : sql`and not exists (
          select from unnest(${[...words]}::text[]) as word where position(lower(word collate "C") in lower(ref)) = 0)`
    }`;
}

function startOf(sql: TransactionSql, moment: Date | LocalDay, daysOn: 0 | 1) {
  if (moment instanceof Date) return sql`${moment}`;
  return sql`((${moment.day}::date + ${daysOn}::int)::timestamp at time zone ${moment.timeZone})`;
}

const text = (value: object) => JSON.stringify(value);
