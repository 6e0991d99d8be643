import { randomUUID } from 'node:crypto';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Database } from '../../db/open.ts';
import type { ComputedFit, FitMaterial } from '../../jobs/compute-fit.ts';
import { computeFit } from '../../jobs/compute-fit.ts';
import { runNight } from '../../jobs/run-night.ts';
import { type RunDeps, runShop } from '../../jobs/run-shop.ts';
import { runAndLog, sweep } from '../../jobs/schedule.ts';
import { demoShop } from '../../seed/shop.ts';
import { finishedJob } from '../../src/domain/record.ts';
import { listFits, readPublished } from '../../src/store/fits.ts';
import { withdrawByHand } from '../../src/store/fits-by-hand.ts';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { insertRecords, rowOf } from '../../src/store/records.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop, replaceShopSettings } from '../../src/store/shops.ts';
import { freshDatabase } from '../support/database.ts';

const demo = demoShop(1, '2026-06-01');
const records = demo.records.slice(0, 60).map((record) => finishedJob.parse(record));
/** A clock that is never asked twice in one instant, as the history is told apart by it. */
let ticks = 0;
const now = () => new Date(Date.parse('2026-06-01T03:00:00Z') + ticks++);
const fixed = new Date('2026-06-01T03:00:00Z');
const byKey = <T extends { readonly key: string }>(list: readonly T[]) =>
  [...list].sort((a, b) => (a.key < b.key ? -1 : 1));
const compute = async (material: FitMaterial): Promise<ComputedFit> => computeFit(material);
const breaks = async (): Promise<ComputedFit> => {
  throw new Error('the arithmetic broke down');
};
const fails = async (): Promise<ComputedFit> => ({
  status: 'failed',
  reason: 'water: singular',
  posterior: null,
  summary: {},
  scores: null,
  finished: true,
});

let db: Database;
let deps: RunDeps;
beforeAll(async () => {
  db = await freshDatabase();
  deps = { db, now, compute };
});
afterAll(() => db.close());

async function shopWithJobs(): Promise<string> {
  const { shopId } = await createShop(db, { name: 'Invented', timeZone: 'Europe/London' });
  await inShop(db, shopId, async (tx) => {
    await putTechnicians(tx, demo.technicians);
    await putMachines(tx, demo.machines);
    await insertRecords(tx, records.map(rowOf));
  });
  return shopId;
}

const history = (shopId: string) => inShop(db, shopId, (tx) => listFits(tx, 10));
const published = (shopId: string) => inShop(db, shopId, (tx) => readPublished(tx));
const currency = (shopId: string, code: string) =>
  inShop(db, shopId, (tx) =>
    replaceShopSettings(tx, {
      labourRate: 40,
      materials: 10,
      currency: code,
      overrunRisk: 0.2,
      units: 'si',
      rules: {},
    }),
  );

describe('contract: the nightly run of a shop', () => {
  it('publishes a fit of all its jobs, and does nothing while its data stay the same', async () => {
    const shopId = await shopWithJobs();
    const fitId = randomUUID();
    expect(await runShop(deps, shopId, fitId)).toEqual({ fitId, status: 'published' });
    expect((await history(shopId)).map(({ status, nJobs }) => [status, nJobs])).toEqual([['published', 60]]);
    expect(await runShop(deps, shopId, randomUUID())).toEqual({ fitId, status: 'unchanged' });
    await currency(shopId, 'GBP');
    expect((await runShop(deps, shopId, randomUUID())).status).toBe('published');
    expect((await history(shopId)).map(({ status }) => status)).toEqual(['published', 'superseded']);
  });

  it('keeps the fit published before when a run breaks down or a fit fails, and tries the same data again', async () => {
    const shopId = await shopWithJobs();
    const fitId = randomUUID();
    await runShop(deps, shopId, fitId);
    await currency(shopId, 'USD');
    await expect(runShop({ ...deps, compute: breaks }, shopId, randomUUID())).rejects.toThrow('broke down');
    expect((await runShop({ ...deps, compute: fails }, shopId, randomUUID())).status).toBe('failed');
    expect((await published(shopId))?.fitId).toBe(fitId);
    expect((await history(shopId))[0]).toMatchObject({ status: 'failed', reason: 'water: singular' });
    expect((await runShop(deps, shopId, randomUUID())).status).toBe('published');
  });

  it('goes on with the same records while months are left to score, and from what the last run scored', async () => {
    const shopId = await shopWithJobs();
    const seen: number[] = [];
    const runs = (finished: boolean) => ({
      ...deps,
      compute: async (material: FitMaterial) => {
        seen.push(material.latestScores?.months.length ?? 0);
        return { ...(await compute(material)), status: 'refused' as const, finished };
      },
    });
    expect((await runShop(runs(false), shopId, randomUUID())).status).toBe('refused');
    expect((await runShop(runs(true), shopId, randomUUID())).status).toBe('refused');
    expect((await runShop(runs(true), shopId, randomUUID())).status).toBe('unchanged');
    expect(seen).toHaveLength(2);
    expect(seen[0]).toBe(0);
    expect(seen[1]).toBeGreaterThan(0);
  });

  it('lets what the owner decided by hand stand, also while months are left to score', async () => {
    const shopId = await shopWithJobs();
    const runs = {
      ...deps,
      compute: async (material: FitMaterial) => ({ ...(await compute(material)), finished: false }),
    };
    const fitId = randomUUID();
    expect((await runShop(runs, shopId, fitId)).status).toBe('published');
    await inShop(db, shopId, (tx) => withdrawByHand(tx, fitId, 'Withdrawn.'));
    expect((await runShop(runs, shopId, randomUUID())).status).toBe('unchanged');
    expect(await published(shopId)).toBeUndefined();
    await currency(shopId, 'USD');
    expect((await runShop(runs, shopId, randomUUID())).status).toBe('published');
  });

  it('is one at a time: a second worker is told that the shop is busy', async () => {
    const shopId = await shopWithJobs();
    let release = () => {};
    const held = new Promise<void>((resolve) => {
      release = resolve;
    });
    let begun = () => {};
    const hasBegun = new Promise<void>((resolve) => {
      begun = resolve;
    });
    const first = runShop(
      {
        ...deps,
        compute: async (material) => {
          begun();
          await held;
          return compute(material);
        },
      },
      shopId,
      randomUUID(),
    );
    await hasBegun;
    expect((await runShop(deps, shopId, randomUUID())).status).toBe('busy');
    release();
    expect((await first).status).toBe('published');
  });

  it('is done once a night, is noted with its error when it breaks down, and falls due again then', async () => {
    const shopId = await shopWithJobs();
    const schedule = { ...deps, nightlyAt: '02:30', log: pino({ level: 'silent' }) };
    const due = async () => {
      const found: string[] = [];
      await sweep(schedule, async (night) => found.push(`${night.shopId} ${night.night}`));
      return found.filter((line) => line.startsWith(shopId));
    };
    expect(await due()).toEqual([`${shopId} 2026-06-01`]);
    await expect(runNight({ ...deps, compute: breaks }, shopId, '2026-06-01')).rejects.toThrow('broke down');
    expect(await due()).toEqual([`${shopId} 2026-06-01`]);
    expect(await runNight(deps, shopId, '2026-06-01')).toBe('published');
    expect(await due()).toEqual([]);
    expect(await runNight(deps, shopId, '2026-06-01')).toBe('done before');
  });

  it('is given up until the next one where it breaks down time after time', async () => {
    const shopId = await shopWithJobs();
    const tries = async (night: string) => {
      let count = 0;
      while ((await runNight({ ...deps, compute: breaks }, shopId, night).catch(() => 'broke down')) === 'broke down')
        count++;
      return count;
    };
    expect(await tries('2026-06-01')).toBe(6);
    expect(await runNight(deps, shopId, '2026-06-02')).toBe('published');
  });

  it('of a fit that fails is over: nights keep it once for the same records, and by hand it is tried again', async () => {
    const shopId = await shopWithJobs();
    const failing = { ...deps, compute: fails };
    const stored = async () => (await history(shopId)).map(({ status }) => status);
    expect(await runNight(failing, shopId, '2026-06-01')).toBe('failed');
    expect(await runNight(failing, shopId, '2026-06-01')).toBe('done before');
    expect(await runNight(failing, shopId, '2026-06-02')).toBe('unchanged');
    expect(await stored()).toEqual(['failed']);
    expect((await runShop(failing, shopId, randomUUID())).status).toBe('failed');
    await currency(shopId, 'USD');
    expect(await runNight(deps, shopId, '2026-06-03')).toBe('published');
    expect(await stored()).toEqual(['published', 'failed', 'failed']);
  });

  it('of one shop that cannot be looked at keeps no other from its night, and the log says so', async () => {
    const [odd, sound] = [await shopWithJobs(), await shopWithJobs()].sort();
    await inShop(db, odd ?? '', ({ sql }) => sql`update shop set time_zone = 'Nowhere/Invented'`);
    const said: object[] = [];
    const log = pino({ level: 'error' }, { write: (line: string) => said.push(JSON.parse(line)) });
    const schedule = { ...deps, compute: breaks, nightlyAt: '02:30', log };
    const found: { readonly shopId: string; readonly night: string }[] = [];
    await expect(sweep(schedule, async (due) => found.push(due))).rejects.toThrow(
      '1 of the shops could not be looked at',
    );
    const due = found.find(({ shopId }) => shopId === sound);
    expect(said).toMatchObject([{ shopId: odd, err: { type: 'RangeError' } }]);
    await expect(runAndLog(schedule, due ?? { shopId: '', night: '' })).rejects.toThrow('broke down');
    expect(said).toMatchObject([{ shopId: odd }, { ...due, err: { message: 'the arithmetic broke down' } }]);
    await inShop(db, odd ?? '', ({ sql }) => sql`update shop set time_zone = 'Europe/London'`);
  });

  it('computes in a process of its own what it computes in this one', async () => {
    const shopId = await shopWithJobs();
    await runShop({ db, now: () => fixed }, shopId, randomUUID());
    const apart = await published(shopId);
    const lists = { technicians: byKey(demo.technicians), machines: byKey(demo.machines) };
    const inOrder = [...records].sort((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt));
    const here = await compute({ ...lists, records: inOrder, rules: {}, timeZone: 'Europe/London', now: fixed });
    expect(apart?.posterior).toBe(here.posterior);
  });
});
