import PgBoss from 'pg-boss';
import type { Logger } from 'pino';
import { dropOldImports } from '../src/store/imports.ts';
import { isNightOpen } from '../src/store/nights.ts';
import { inShop } from '../src/store/shop-scope.ts';
import { listShopsForNightly } from '../src/store/shops.ts';
import { latestNight } from './night.ts';
import { runNight } from './run-night.ts';
import type { RunDeps } from './run-shop.ts';

interface ScheduleDeps extends RunDeps {
  readonly log: Logger;
  /** Wall-clock time HH:MM in each shop's zone. */
  readonly nightlyAt: string;
}

interface NightOfShop {
  readonly shopId: string;
  readonly night: string;
}

const sweeps = 'look-for-due-nights';
const nights = 'run-a-night';
const everyFiveMinutes = '*/5 * * * *';

/**
 * Runs each shop's night at its own local time, over all the processes that call this: one of them looks every five
 * minutes which nights have fallen due, also those missed while nothing ran, and whichever is free takes the next.
 */
export async function startSchedule(deps: ScheduleDeps): Promise<{ stop(): Promise<void> }> {
  const boss = new PgBoss({ connectionString: deps.db.ownerUrl, max: 3, application_name: 'secondpass-schedule' });
  boss.on('error', (error) => deps.log.error({ err: error }, 'schedule'));
  await boss.start();
  await boss.createQueue(sweeps, { name: sweeps, policy: 'short', retryLimit: 0 });
  await boss.createQueue(nights, {
    name: nights,
    policy: 'short',
    retryLimit: 3,
    retryDelay: 60,
    retryBackoff: true,
    expireInHours: 2,
  });
  await boss.work(sweeps, () => logged(deps.log, {}, () => sweep(deps, (due) => enqueue(boss, due))));
  await boss.work<NightOfShop>(nights, { pollingIntervalSeconds: 2 }, async ([job]) => {
    if (job) await runAndLog(deps, job.data);
  });
  await boss.schedule(sweeps, everyFiveMinutes);
  await boss.send(sweeps, {});
  return { stop: () => boss.stop({ graceful: true, wait: true, timeout: 30_000 }) };
}

/**
 * Sends on every shop whose latest night is still to be done; on the way, sheets that were left lying for a day go. One
 * that cannot be looked at, for its zone is none on this machine, say, keeps no other from its night.
 */
export async function sweep(deps: ScheduleDeps, send: (due: NightOfShop) => Promise<unknown>): Promise<void> {
  const broken: unknown[] = [];
  for (const { shopId, timeZone } of await listShopsForNightly(deps.db)) {
    const look = async () => {
      const night = latestNight(deps.now(), timeZone, deps.nightlyAt);
      await inShop(deps.db, shopId, (tx) => dropOldImports(tx, deps.now()));
      if (await inShop(deps.db, shopId, (tx) => isNightOpen(tx, night))) await send({ shopId, night });
    };
    await logged(deps.log, { shopId }, look).catch((error: unknown) => broken.push(error));
  }
  if (broken.length > 0) throw new Error(`${broken.length} of the shops could not be looked at`);
}

/** Runs one night and says how it ended. */
export async function runAndLog(deps: ScheduleDeps, { shopId, night }: NightOfShop): Promise<void> {
  const outcome = await logged(deps.log, { shopId, night }, () => runNight(deps, shopId, night));
  deps.log.info({ shopId, night, outcome }, 'night run');
}

/** The queue keeps what a run throws to itself: whoever reads the log has to learn of it too. */
async function logged<T>(log: Logger, about: Partial<NightOfShop>, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    log.error({ ...about, err: error }, 'schedule broke down');
    throw error;
  }
}

/** At most one run of a shop waits; the run itself is safe against a second one. */
function enqueue(boss: PgBoss, due: NightOfShop): Promise<string | null> {
  return boss.send(nights, due, { singletonKey: due.shopId });
}
