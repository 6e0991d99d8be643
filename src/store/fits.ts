import type { fitStatuses } from '../../db/schema.ts';
import type { ShopTransaction } from './shop-scope.ts';

type FitStatus = (typeof fitStatuses)[number];

/** A fit to be stored. `summary` and `scores` are what people read; `posterior` is the encoded fit that estimates use. */
export interface NewFit {
  readonly fitId: string;
  readonly dataState: string;
  readonly startedAt: Date;
  readonly finishedAt: Date;
  readonly reason: string | null;
  readonly nJobs: number;
  readonly summary: object;
  readonly scores: object | null;
  readonly posterior: string | null;
}

/** Ends the data state of a fit whose months are not all scored yet: the next night goes on with the same records. */
export const unfinished = '.unfinished';

/** A line of the history. */
export interface FitEntry {
  readonly fitId: string;
  readonly status: FitStatus;
  readonly reason: string | null;
  readonly dataState: string;
  readonly startedAt: Date;
  readonly finishedAt: Date;
  readonly nJobs: number;
}

/** One fit in full, without its posterior. */
export interface FitRecord extends FitEntry {
  readonly summary: unknown;
  readonly scores: unknown;
}

interface PublishedFit {
  readonly fitId: string;
  readonly dataState: string;
  readonly posterior: string;
  readonly scores: unknown;
}

/** A night's fit, and what its summary says of the evidence. */
interface EvidenceNight {
  readonly finishedAt: Date;
  readonly nJobs: number;
  readonly evidence: unknown;
}

/** Where a page of the history ended. */
export interface FitPlace {
  readonly startedAt: Date;
  readonly fitId: string;
}

/** Keeps a fit that is not to be used, with its reason; what is published stays so. */
export async function insertFit(
  tx: ShopTransaction,
  fit: NewFit,
  status: Exclude<FitStatus, 'published'>,
): Promise<void> {
  await insert(tx, fit, status);
}

/** Makes this the fit that estimates use; the former one is superseded in the same transaction. */
export async function publishFit(tx: ShopTransaction, fit: NewFit & { readonly posterior: string }): Promise<void> {
  await tx.sql`update fit set status = 'superseded' where shop_id = ${tx.shopId} and status = 'published'`;
  await insert(tx, fit, 'published');
}

/** The fit that estimates use now; undefined where the shop has none yet. */
export async function readPublished(tx: ShopTransaction): Promise<PublishedFit | undefined> {
  const [row] = await tx.sql<PublishedFit[]>`
    select fit_id as "fitId", data_state as "dataState", posterior, scores
    from fit where shop_id = ${tx.shopId} and status = 'published'`;
  return row;
}

/** The id of the fit that estimates use now, without its bulk; undefined where the shop has none yet. */
export async function readPublishedId(tx: ShopTransaction): Promise<string | undefined> {
  const [row] = await tx.sql<{ fitId: string }[]>`
    select fit_id as "fitId" from fit where shop_id = ${tx.shopId} and status = 'published'`;
  return row?.fitId;
}

/** Scores stored with the fit that estimates use now; null where it has none, undefined where the shop has no fit. */
export async function readPublishedScores(tx: ShopTransaction): Promise<unknown> {
  const [row] = await tx.sql<{ scores: unknown }[]>`
    select scores from fit where shop_id = ${tx.shopId} and status = 'published'`;
  return row?.scores;
}

/** What the fit that estimates use now tells people, beside its scores; undefined where the shop has no fit. */
export async function readPublishedSummary(
  tx: ShopTransaction,
): Promise<{ readonly summary: unknown; readonly scores: unknown } | undefined> {
  const [row] = await tx.sql<{ summary: unknown; scores: unknown }[]>`
    select summary, scores from fit where shop_id = ${tx.shopId} and status = 'published'`;
  return row;
}

/** The encoded fit of this id, published or not; undefined where there is none. */
export async function readPosterior(tx: ShopTransaction, fitId: string): Promise<string | undefined> {
  const [row] = await tx.sql<{ posterior: string | null }[]>`
    select posterior from fit where shop_id = ${tx.shopId} and fit_id = ${fitId}`;
  return row?.posterior ?? undefined;
}

/** The history, newest first, one page after `after`. */
export async function listFits(tx: ShopTransaction, limit: number, after?: FitPlace): Promise<FitEntry[]> {
  const beyond = after ? tx.sql`and (started_at, fit_id) < (${after.startedAt}, ${after.fitId}::uuid)` : tx.sql``;
  return await tx.sql<FitEntry[]>`
    select ${entryColumns(tx)} from fit where shop_id = ${tx.shopId} ${beyond}
    order by started_at desc, fit_id desc limit ${limit}`;
}

/** What of each fit that was made tells how much was the shop's own, oldest first; null where it was not kept yet. */
export async function readEvidence(tx: ShopTransaction): Promise<readonly EvidenceNight[]> {
  return await tx.sql<EvidenceNight[]>`
    select finished_at as "finishedAt", n_jobs as "nJobs", summary->'evidence' as evidence from fit
    where shop_id = ${tx.shopId} and posterior is not null order by started_at, fit_id`;
}

/** When the first of the shop's jobs was finished: before it nothing could be known. */
export async function readFirstFinishedAt(tx: ShopTransaction): Promise<Date | undefined> {
  const [row] = await tx.sql<{ at: Date | null }[]>`
    select min(finished_at) as at from job where shop_id = ${tx.shopId}`;
  return row?.at ?? undefined;
}

export async function readFit(tx: ShopTransaction, fitId: string): Promise<FitRecord | undefined> {
  const [row] = await tx.sql<FitRecord[]>`
    select ${entryColumns(tx)}, summary, scores from fit where shop_id = ${tx.shopId} and fit_id = ${fitId}`;
  return row;
}

async function insert(tx: ShopTransaction, fit: NewFit, status: FitStatus): Promise<void> {
  await tx.sql`
    insert into fit (shop_id, fit_id, data_state, started_at, finished_at, status, reason, n_jobs, summary, scores, posterior)
    values (${tx.shopId}, ${fit.fitId}, ${fit.dataState}, ${fit.startedAt}, ${fit.finishedAt}, ${status},
      ${fit.reason}, ${fit.nJobs}, ${JSON.stringify(fit.summary)}::jsonb,
      ${fit.scores && JSON.stringify(fit.scores)}::jsonb, ${fit.posterior})`;
}

function entryColumns(tx: ShopTransaction) {
  return tx.sql`fit_id as "fitId", status, reason, data_state as "dataState",
    started_at as "startedAt", finished_at as "finishedAt", n_jobs as "nJobs"`;
}
