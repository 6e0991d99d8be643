import { inSchemaOrder } from '../domain/canonical.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { StoredAnswer } from '../insight/quotes/followed.ts';
import type { ShopTransaction } from './shop-scope.ts';

/** An estimate as it is kept: both texts word for word, and the fit that made it (none: the rules of thumb alone). */
export interface StoredEstimate {
  readonly estimateId: string;
  readonly madeAt: Date;
  readonly fitId: string | null;
  readonly request: string;
  readonly answer: string;
}

export async function insertEstimate(tx: ShopTransaction, estimate: StoredEstimate): Promise<void> {
  const { estimateId, madeAt, fitId, request, answer } = estimate;
  await tx.sql`
    insert into estimate (shop_id, estimate_id, made_at, fit_id, request, answer)
    values (${tx.shopId}, ${estimateId}, ${madeAt}, ${fitId}, ${request}::json, ${answer}::json)`;
}

/** The answer as it was given, to the last character; undefined where there is none of this id. */
export async function readEstimate(tx: ShopTransaction, estimateId: string): Promise<string | undefined> {
  const [row] = await tx.sql<{ answer: string }[]>`
    select answer::text as answer from estimate where shop_id = ${tx.shopId} and estimate_id = ${estimateId}`;
  return row?.answer;
}

/** Request and answer as they were; undefined for what is no id of an estimate of this shop. */
export async function readGivenEstimate(tx: ShopTransaction, id: string): Promise<StoredEstimate | undefined> {
  const [row] = await tx.sql<StoredEstimate[]>`
    select estimate_id as "estimateId", made_at as "madeAt", fit_id as "fitId",
      request::text as request, answer::text as answer
    from estimate where shop_id = ${tx.shopId} and estimate_id = ${idOrNull(id)}::uuid`;
  return row;
}

/** The finished jobs that name this estimate as what was quoted, the earliest first. */
export async function readRecordsOf(tx: ShopTransaction, estimateId: string): Promise<FinishedJob[]> {
  const rows = await tx.sql<{ record: FinishedJob }[]>`
    select record from job where shop_id = ${tx.shopId} and quoted_estimate = ${estimateId}
    order by finished_at, ref`;
  return rows.map(({ record }) => inSchemaOrder(record));
}

/** An estimate on the list of those given, with the finished job that names it, where there is one. */
export interface ListedEstimate {
  readonly estimateId: string;
  readonly madeAt: Date;
  readonly request: string;
  readonly answer: string;
  readonly record: FinishedJob | null;
}

/** The latest estimates first; `before` is the last of the page before. */
export async function listEstimates(
  tx: ShopTransaction,
  { before, limit }: { readonly before?: string | undefined; readonly limit: number },
): Promise<ListedEstimate[]> {
  const { sql, shopId } = tx;
  return [
    ...(await sql<ListedEstimate[]>`
      with page as (
        select estimate_id, estimate_id::text as id, made_at, request, answer from estimate where shop_id = ${shopId}
          ${
            before === undefined
              ? sql``
              : sql`and (made_at, estimate_id) < (
                select made_at, estimate_id from estimate where shop_id = ${shopId} and estimate_id = ${idOrNull(before)}::uuid)`
          }
        order by made_at desc, estimate_id desc limit ${limit}
      ), done as (
        select distinct on (quoted_estimate) quoted_estimate, record from job
        where shop_id = ${shopId} and quoted_estimate in (select id from page)
        order by quoted_estimate, finished_at desc
      )
      select id as "estimateId", made_at as "madeAt", request::text as request, answer::text as answer, record
      from page left join done on quoted_estimate = id
      order by made_at desc, estimate_id desc`),
  ];
}

/** The answers of these ids that the shop has, by id. */
export async function readAnswers(
  tx: ShopTransaction,
  estimateIds: readonly string[],
): Promise<ReadonlyMap<string, StoredAnswer>> {
  const rows = await tx.sql<{ id: string; answer: StoredAnswer }[]>`
    select estimate_id as id, answer from estimate
    where shop_id = ${tx.shopId} and estimate_id = any(${[...estimateIds]}::uuid[])`;
  return new Map(rows.map(({ id, answer }) => [id, answer]));
}

/** Null, which no id equals, for text that is none; an address may hold what PostgreSQL's text cannot. */
function idOrNull(text: string): string | null {
  return /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i.test(text) ? text : null;
}
