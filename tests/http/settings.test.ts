import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import { type AppUnderTest, type ProblemRead, read, startApp } from './app-under-test.ts';

let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp();
});
afterAll(() => app.close());

describe('contract: /v1/settings', () => {
  it('begins with the defaults, and what is read can be written back', async () => {
    const { keys } = await app.openShop();
    const first = await read<object>(await app.call('GET', '/v1/settings', { key: keys.desk }));
    expect(first).toEqual(defaultShopSettings);
    const written = await app.call('PUT', '/v1/settings', { key: keys.owner, json: { ...first, labourRate: 55 } });
    expect(written.status).toBe(200);
    expect(await (await app.call('GET', '/v1/settings', { key: keys.desk })).json()).toEqual({
      ...first,
      labourRate: 55,
    });
  });

  it('replaces only the state that was read, where the request says which that was', async () => {
    const { keys } = await app.openShop();
    const put = (json: object, headers: Record<string, string> = {}) =>
      app.call('PUT', '/v1/settings', { key: keys.owner, json, headers });
    const seen = (await app.call('GET', '/v1/settings', { key: keys.owner })).headers.get('etag') ?? '';
    const mine = await put({ labourRate: 55 }, { 'If-Match': seen });
    expect(mine.status).toBe(200);
    const late = await put({ labourRate: 44 }, { 'If-Match': seen });
    expect([late.status, (await read<ProblemRead>(late)).detail]).toEqual([
      412,
      'Somebody changed it since the state that If-Match names: read it again',
    ]);
    const now = await app.call('GET', '/v1/settings', { key: keys.owner });
    expect(now.headers.get('etag')).toBe(mine.headers.get('etag'));
    expect(await read(now)).toMatchObject({ labourRate: 55 });
    expect((await put({ labourRate: 33 }, { 'If-Match': '*' })).status).toBe(200);
    expect((await put({ labourRate: 22 })).status).toBe(200);
  });

  it('belongs to one shop', async () => {
    const [mine, other] = [await app.openShop(), await app.openShop()];
    await app.call('PUT', '/v1/settings', { key: mine.keys.owner, json: { currency: 'GBP' } });
    expect(await (await app.call('GET', '/v1/settings', { key: other.keys.desk })).json()).toEqual(defaultShopSettings);
  });

  it('names every bad field at once, and a rule of thumb that does not exist', async () => {
    const { keys } = await app.openShop();
    const bad = await app.call('PUT', '/v1/settings', { key: keys.owner, json: { labourRate: -1, curency: 'EUR' } });
    expect(bad.status).toBe(422);
    const { errors } = await read<ProblemRead>(bad);
    expect(errors.map((one) => one.pointer).sort()).toEqual(['/curency', '/labourRate']);
    expect(JSON.stringify(errors)).toContain('did you mean currency?');

    const noRule = await app.call('PUT', '/v1/settings', {
      key: keys.owner,
      json: { rules: { 'passes.hihg': { sd: 1 } } },
    });
    expect(noRule.status).toBe(422);
    expect((await read<ProblemRead>(noRule)).errors[0]).toMatchObject({ pointer: '/rules/passes.hihg' });
    expect(await (await app.call('GET', '/v1/settings', { key: keys.desk })).json()).toEqual(defaultShopSettings);
  });
});
