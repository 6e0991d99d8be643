import { randomUUID } from 'node:crypto';
import { beginNight, endNight, isNightOpen } from '../src/store/nights.ts';
import { inShop } from '../src/store/shop-scope.ts';
import { type RunDeps, type RunOutcome, runShop } from './run-shop.ts';

/**
 * One shop's run of one night, noted in `nightly_run`: a night that is done is not done again, whoever asks.
 *
 * @param night the calendar day of the night in the shop's zone, see `latestNight`
 * @throws what the run threw, after noting it: the queue tries again
 */
export async function runNight(
  deps: RunDeps,
  shopId: string,
  night: string,
): Promise<RunOutcome['status'] | 'done before'> {
  const isOpen = await inShop(deps.db, shopId, (tx) => isNightOpen(tx, night));
  if (!isOpen) return 'done before';
  await inShop(deps.db, shopId, (tx) => beginNight(tx, night, deps.now()));
  try {
    const { status } = await runShop(deps, shopId, randomUUID(), 'night');
    if (status === 'busy') return status; // whoever holds the shop notes how it ends; the next sweep looks again
    await inShop(deps.db, shopId, (tx) => endNight(tx, night, { status, finishedAt: deps.now() }));
    return status;
  } catch (error) {
    const end = { status: 'failed', finishedAt: deps.now(), error: String(error) } as const;
    await inShop(deps.db, shopId, (tx) => endNight(tx, night, end));
    throw error;
  }
}
