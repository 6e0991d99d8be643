import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fitShop } from '../../src/models/fit.ts';
import { encodeShopFit } from '../../src/models/fit-codec.ts';
import { insertFit, publishFit, readPublishedId } from '../../src/store/fits.ts';
import { lockRun } from '../../src/store/run-lock.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type AppUnderTest, now, type ProblemRead, read, type ShopUnderTest, startApp } from './app-under-test.ts';

interface Fit {
  readonly id: string;
  readonly status: string;
  readonly reason: string | null;
}

const byRule = fitShop({ records: [], technicians: [], machines: [], now });
if (byRule.status !== 'fitted') throw new Error('the rules of thumb could not be fitted');
const posterior = encodeShopFit(byRule.fit);

let app: AppUnderTest;
let shop: ShopUnderTest;
beforeAll(async () => {
  app = await startApp();
});
afterAll(() => app.close());

const stored = (fitId: string, of: string | null, reason: string | null) => ({
  fitId,
  dataState: '3.0.abc',
  startedAt: now,
  finishedAt: now,
  reason,
  nJobs: 3,
  summary: {},
  scores: null,
  posterior: of,
});

/** A shop of its own with one fit in use and one that the night refused. */
async function shopWithTwo(refusedPosterior: string | null = posterior) {
  shop = await app.openShop();
  const [inUse, refused] = [randomUUID(), randomUUID()];
  await inShop(app.db, shop.shopId, async (tx) => {
    await publishFit(tx, { ...stored(inUse, posterior, null), posterior });
    await insertFit(tx, stored(refused, refusedPosterior, 'Not published: labour is too narrow.'), 'refused');
  });
  return { inUse, refused };
}

const ask = (fitId: string, what: 'publish' | 'withdraw', key = shop.keys.owner) =>
  app.call('POST', `/v1/fits/${fitId}/${what}`, { key });
const inUseNow = () => inShop(app.db, shop.shopId, readPublishedId);
const statusOf = async (fitId: string) =>
  (await read<Fit>(await app.call('GET', `/v1/fits/${fitId}`, { key: shop.keys.owner }))).status;

describe('contract: the owner publishes and withdraws by hand', () => {
  it('a refused fit can be published: the former is superseded, and who did it stands with the night’s reason', async () => {
    const { inUse, refused } = await shopWithTwo();
    const response = await ask(refused, 'publish');
    expect(response.status).toBe(200);
    const { status, reason } = await read<Fit>(response);
    expect(status).toBe('published');
    expect(reason).toMatch(
      /^Not published: labour is too narrow\. Published by hand on 2025-03-05 at 10:00 UTC with key [0-9a-f]{12}\.$/,
    );
    expect([await inUseNow(), await statusOf(inUse)]).toEqual([refused, 'superseded']);
    const again = await read<Fit>(await ask(refused, 'publish'));
    expect(again.reason).toBe(reason);
  });

  it('the one in use can be withdrawn, and estimates then come from the rules of thumb, until it is published again', async () => {
    const { inUse } = await shopWithTwo();
    const withdrawn = await read<Fit>(await ask(inUse, 'withdraw'));
    expect(withdrawn.status).toBe('withdrawn');
    expect(await inUseNow()).toBeUndefined();
    const seat = { area: 'front-seat', fabric: 'flat-woven', soil: 'moderate', method: 'extraction' };
    const estimate = await app.call('POST', '/v1/estimates', {
      key: shop.keys.desk,
      json: { bodyStyle: 'sedan', sections: [seat] },
    });
    expect([estimate.status, (await read<{ fitId: string | null }>(estimate)).fitId]).toEqual([201, null]);
    expect((await ask(inUse, 'withdraw')).status).toBe(200);
    const back = await read<Fit>(await ask(inUse, 'publish'));
    expect(back.reason).toMatch(/^Withdrawn by hand .* Published by hand /);
    expect(await inUseNow()).toBe(inUse);
  });

  it('not one without a posterior, of another version, or not in use; the reason is said and nothing changes', async () => {
    for (const [unreadable, words] of [
      [null, 'nothing to publish'],
      ['{"version":-1}', 'another version'],
    ] as const) {
      const { inUse, refused } = await shopWithTwo(unreadable);
      const response = await ask(refused, 'publish');
      expect([response.status, (await read<ProblemRead>(response)).detail]).toEqual([
        409,
        expect.stringContaining(words),
      ]);
      expect((await ask(refused, 'withdraw')).status).toBe(409);
      expect([await inUseNow(), await statusOf(refused)]).toEqual([inUse, 'refused']);
    }
  });

  it('not while a run of the shop is going', async () => {
    const { refused } = await shopWithTwo();
    await inShop(app.db, shop.shopId, async (tx) => {
      expect(await lockRun(tx)).toBe(true);
      expect((await ask(refused, 'publish')).status).toBe(409);
    });
    expect((await ask(refused, 'publish')).status).toBe(200);
  });

  it('nobody but the owner, and no fit of another shop', async () => {
    const { inUse } = await shopWithTwo();
    expect((await ask(inUse, 'withdraw', shop.keys.desk)).status).toBe(403);
    const other = await app.openShop();
    expect((await ask(inUse, 'withdraw', other.keys.owner)).status).toBe(404);
    expect(await inUseNow()).toBe(inUse);
  });
});
