import type { nightStatuses } from '../../db/schema.ts';
import type { ShopTransaction } from './shop-scope.ts';

type NightStatus = (typeof nightStatuses)[number];

/** What breaks down this often will not come right by itself tonight; the next night tries again. */
const mostAttempts = 6;

/**
 * Whether this night's run is still to be done: not begun, or begun and broken down, but not time after time. A fit that
 * failed and was stored with its reason ends the night: the same records would fail again.
 */
export async function isNightOpen(tx: ShopTransaction, night: string): Promise<boolean> {
  const [row] = await tx.sql<{ status: NightStatus; attempts: number; brokeDown: boolean }[]>`
    select status, attempts, error is not null as "brokeDown" from nightly_run where shop_id = ${tx.shopId} and night = ${night}`;
  if (row === undefined || row.status === 'running') return true;
  return row.brokeDown && row.attempts < mostAttempts;
}

/** Notes that the night's run begins, once more where it did before. */
export async function beginNight(tx: ShopTransaction, night: string, startedAt: Date): Promise<void> {
  await tx.sql`
    insert into nightly_run (shop_id, night, status, started_at) values (${tx.shopId}, ${night}, 'running', ${startedAt})
    on conflict (shop_id, night) do update set
      status = 'running', started_at = excluded.started_at, attempts = nightly_run.attempts + 1, finished_at = null, error = null`;
}

/** Notes how the night's run ended; `error` where it broke down. */
export async function endNight(
  tx: ShopTransaction,
  night: string,
  end: { readonly status: Exclude<NightStatus, 'running'>; readonly finishedAt: Date; readonly error?: string },
): Promise<void> {
  await tx.sql`
    update nightly_run set status = ${end.status}, finished_at = ${end.finishedAt}, error = ${end.error ?? null}
    where shop_id = ${tx.shopId} and night = ${night}`;
}
