import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import type { FitOutcome } from '../../src/http/env.ts';
import { insertFit, type NewFit, publishFit } from '../../src/store/fits.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type AppUnderTest, now, read, startApp } from './app-under-test.ts';

interface Fit {
  readonly id: string;
  readonly status: string;
  readonly reason: string | null;
}
interface Page {
  readonly fits: readonly Fit[];
  readonly next: string | null;
}

let app: AppUnderTest;
/** What the run does next time; each test says. */
let runFit: (shopId: string, fitId: string) => Promise<FitOutcome>;
let asked = 0;
beforeAll(async () => {
  app = await startApp({
    runFit: (shopId, fitId) => {
      asked += 1;
      return runFit(shopId, fitId);
    },
    fitPatienceMs: 50,
  });
});
beforeEach(() => {
  asked = 0;
});
afterAll(() => app.close());

describe('contract: POST /v1/fits', () => {
  it('of many shops at once leaves the database to others: a few run, the rest wait their turn', async () => {
    const shops = await Promise.all(Array.from({ length: 12 }, () => app.openShop()));
    let end = () => {};
    const told = new Promise<void>((resolve) => {
      end = resolve;
    });
    runFit = (shopId, fitId) =>
      inShop(app.db, shopId, async (tx) => {
        await tx.sql`select 1`;
        await told;
        await insertFit(tx, someFit(fitId), 'refused');
        return { fitId, status: 'refused' };
      });
    const begin = ({ keys }: (typeof shops)[number]) => app.call('POST', '/v1/fits', { key: keys.owner });
    const answers = await Promise.all(shops.map(begin));
    const [readiness, running] = [(await app.call('GET', '/readyz')).status, asked];
    end();
    expect(new Set(answers.map(({ status }) => status))).toEqual(new Set([202]));
    expect([readiness, running]).toEqual([200, 3]);
    await vi.waitFor(async () => {
      const last = await app.call('GET', answers.at(-1)?.headers.get('location') ?? '', {
        key: shops[11]?.keys.owner ?? '',
      });
      expect(last.status).toBe(200);
    }, 20_000);
    expect(asked).toBe(12);
  });

  it('answers 201 with the fit in full once it is done', async () => {
    const { keys } = await app.openShop();
    runFit = async (shopId, fitId) => {
      await inShop(app.db, shopId, (tx) => publishFit(tx, someFit(fitId)));
      return { fitId, status: 'published' };
    };
    const response = await app.call('POST', '/v1/fits', { key: keys.owner });
    expect(response.status).toBe(201);
    const fit = await read<Fit>(response);
    expect(fit).toEqual({
      id: expect.any(String),
      status: 'published',
      reason: null,
      dataState: '3.0.abc',
      startedAt: '2025-03-05T10:00:00.000Z',
      finishedAt: '2025-03-05T10:00:02.000Z',
      jobs: 3,
      summary: { models: {} },
      scores: { labour: 1 },
    });
    const address = response.headers.get('location') ?? '';
    expect(address).toBe(`/v1/fits/${fit.id}`);
    expect(await read<Fit>(await app.call('GET', address, { key: keys.owner }))).toEqual(fit);
    expect(app.deps.metrics.text()).toContain('secondpass_fits_total{status="published"} 1');
  });

  it('tells why a fit was refused', async () => {
    const { keys } = await app.openShop();
    runFit = async (shopId, fitId) => {
      const refused = { ...someFit(fitId), reason: 'coverage 55 % on 40 jobs' };
      await inShop(app.db, shopId, (tx) => insertFit(tx, refused, 'refused'));
      return { fitId, status: 'refused' };
    };
    const response = await app.call('POST', '/v1/fits', { key: keys.owner });
    expect(response.status).toBe(201);
    expect(await read<Fit>(response)).toMatchObject({ status: 'refused', reason: 'coverage 55 % on 40 jobs' });
  });

  it('answers 200 with the published fit where nothing changed', async () => {
    const { shopId, keys } = await app.openShop();
    const published = someFit('0b9f3f4e-3f0a-4a5e-8f58-3a3f0f7f6a01');
    await inShop(app.db, shopId, (tx) => publishFit(tx, published));
    runFit = async () => ({ fitId: published.fitId, status: 'unchanged' });
    const response = await app.call('POST', '/v1/fits', { key: keys.owner });
    expect([response.status, (await read<Fit>(response)).id]).toEqual([200, published.fitId]);
  });

  it('answers 202 with its address where it runs on; a second request joins it; the address tells how it goes', async () => {
    const { keys } = await app.openShop();
    let end = () => {};
    const ending = new Promise<void>((resolve) => {
      end = resolve;
    });
    let ended = Promise.resolve();
    runFit = (shopId, fitId) => {
      const run = ending.then(async (): Promise<FitOutcome> => {
        await inShop(app.db, shopId, (tx) => publishFit(tx, someFit(fitId)));
        return { fitId, status: 'published' };
      });
      ended = run.then(() => {});
      return run;
    };
    const [first, second] = [
      await app.call('POST', '/v1/fits', { key: keys.owner }),
      await app.call('POST', '/v1/fits', { key: keys.owner }),
    ];
    expect([first.status, second.status, asked]).toEqual([202, 202, 1]);
    const address = first.headers.get('location') ?? '';
    expect(second.headers.get('location')).toBe(address);
    const meanwhile = await app.call('GET', address, { key: keys.owner });
    expect(meanwhile.status).toBe(202);
    expect(await meanwhile.json()).toEqual({
      id: address.split('/').at(-1),
      status: 'running',
      startedAt: now.toISOString(),
    });
    end();
    await ended;
    const done = await app.call('GET', address, { key: keys.owner });
    expect([done.status, (await read<Fit>(done)).status]).toEqual([200, 'published']);
  });

  it('gives a run that outlasts patience an end under its address, also where it stores no fit there', async () => {
    const { shopId, keys } = await app.openShop();
    const other = await app.openShop();
    const standing = someFit('0b9f3f4e-3f0a-4a5e-8f58-3a3f0f7f6a11');
    await inShop(app.db, shopId, (tx) => publishFit(tx, standing));
    const lastly = async (end: (fitId: string) => FitOutcome) => {
      let go = () => {};
      const told = new Promise<void>((resolve) => {
        go = resolve;
      });
      runFit = async (_, fitId) => {
        await told;
        return end(fitId);
      };
      const begun = await app.call('POST', '/v1/fits', { key: keys.owner });
      const address = begun.headers.get('location') ?? '';
      go();
      const ended = await vi.waitFor(async () => {
        const answer = await app.call('GET', address, { key: keys.owner });
        expect(answer.status).not.toBe(202);
        return answer;
      });
      expect([begun.status, (await app.call('GET', address, { key: other.keys.owner })).status]).toEqual([202, 404]);
      return { status: ended.status, body: await read<{ readonly id?: string; readonly detail?: string }>(ended) };
    };
    const unchanged = await lastly(() => ({ fitId: standing.fitId, status: 'unchanged' }));
    expect([unchanged.status, unchanged.body.id]).toEqual([200, standing.fitId]);
    const busy = await lastly((fitId) => ({ fitId, status: 'busy' }));
    expect([busy.status, busy.body.detail]).toEqual([409, expect.stringContaining('GET /v1/fits')]);
    const broken = await lastly(() => {
      throw new Error('the secret cause');
    });
    expect([broken.status, broken.body.detail]).toEqual([500, expect.stringMatching(/^This run broke down/)]);
  });

  it('answers 202 with the history where another process has a run of this shop going', async () => {
    const { keys } = await app.openShop();
    runFit = async (_, fitId) => ({ fitId, status: 'busy' });
    const response = await app.call('POST', '/v1/fits', { key: keys.owner });
    expect([response.status, response.headers.get('location')]).toEqual([202, '/v1/fits']);
    expect(await response.json()).toEqual({ status: 'running' });
  });

  it('tells nothing of the inside when a run breaks down, logs the cause, and can be asked again', async () => {
    const { keys } = await app.openShop();
    runFit = async () => {
      throw new Error('the secret cause');
    };
    const response = await app.call('POST', '/v1/fits', { key: keys.owner });
    const text = await response.text();
    expect(response.status).toBe(500);
    expect(text).not.toContain('secret cause');
    expect(app.logged.join('')).toContain('the secret cause');
    expect((await app.call('POST', '/v1/fits', { key: keys.owner })).status).toBe(500);
    expect(asked).toBe(2);
  });

  it('is for the owner alone, to read too', async () => {
    const { keys } = await app.openShop();
    expect((await app.call('POST', '/v1/fits', { key: keys.desk })).status).toBe(403);
    for (const path of ['/v1/fits', '/v1/fits/0b9f3f4e-3f0a-4a5e-8f58-3a3f0f7f6a09'])
      expect((await app.call('GET', path, { key: keys.desk })).status).toBe(403);
    expect((await app.call('GET', '/v1/fits', { key: keys.owner })).status).toBe(200);
    expect(asked).toBe(0);
  });
});

describe('contract: GET /v1/fits', () => {
  it('pages through the history, newest first, each once', async () => {
    const { shopId, keys } = await app.openShop();
    const ids = [1, 2, 3].map((n) => `0b9f3f4e-3f0a-4a5e-8f58-3a3f0f7f6a0${n}`);
    for (const [day, id] of ids.entries()) {
      const startedAt = new Date(Date.UTC(2025, 0, day + 1));
      await inShop(app.db, shopId, (tx) => insertFit(tx, { ...someFit(id), startedAt }, 'failed'));
    }
    const first = await read<Page>(await app.call('GET', '/v1/fits?limit=2', { key: keys.owner }));
    const second = await read<Page>(
      await app.call('GET', `/v1/fits?limit=2&cursor=${first.next}`, { key: keys.owner }),
    );
    expect([...first.fits, ...second.fits].map((fit) => fit.id)).toEqual([...ids].reverse());
    expect(second.next).toBeNull();
  });

  it('names a bad limit, a bad cursor and a bad id', async () => {
    const { keys } = await app.openShop();
    const place = `0000-01-01T00:00:00.000Z 0b9f3f4e-3f0a-4a5e-8f58-3a3f0f7f6a01`;
    const yearNobodyCounts = Buffer.from(place).toString('base64url');
    for (const [path, field] of [
      ['/v1/fits?limit=0', 'limit'],
      ['/v1/fits?cursor=bm9uc2Vuc2U', 'cursor'],
      [`/v1/fits?cursor=${yearNobodyCounts}`, 'cursor'],
      ['/v1/fits/last', 'id'],
    ]) {
      const response = await app.call('GET', path ?? '', { key: keys.owner });
      expect([path, response.status]).toEqual([path, 422]);
      expect(JSON.stringify(await response.json())).toContain(`"pointer":"/${field}"`);
    }
  });

  it('knows no fit of another shop', async () => {
    const [mine, other] = [await app.openShop(), await app.openShop()];
    const hidden = someFit('0b9f3f4e-3f0a-4a5e-8f58-3a3f0f7f6a09');
    await inShop(app.db, other.shopId, (tx) => publishFit(tx, hidden));
    expect((await app.call('GET', `/v1/fits/${hidden.fitId}`, { key: mine.keys.owner })).status).toBe(404);
    expect((await app.call('GET', `/v1/fits/${hidden.fitId}`, { key: other.keys.owner })).status).toBe(200);
  });
});

function someFit(fitId: string): NewFit & { readonly posterior: string } {
  return {
    fitId,
    dataState: '3.0.abc',
    startedAt: now,
    finishedAt: new Date(now.getTime() + 2_000),
    reason: null,
    nJobs: 3,
    summary: { models: {} },
    scores: { labour: 1 },
    posterior: 'encoded',
  };
}
