import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type AppUnderTest, type ProblemRead, read, type ShopUnderTest, startApp } from './app-under-test.ts';

let app: AppUnderTest;
let shop: ShopUnderTest;
beforeAll(async () => {
  app = await startApp();
  shop = await app.openShop();
});
afterAll(() => app.close());

describe('contract: keys and roles', () => {
  it('asks for a key with a problem and a challenge', async () => {
    const response = await app.call('GET', '/v1/settings');
    expect(response.status).toBe(401);
    expect(response.headers.get('content-type')).toBe('application/problem+json');
    expect(response.headers.get('www-authenticate')).toBe('Bearer realm="secondpass"');
    expect(await response.json()).toMatchObject({ type: 'about:blank', title: 'A key is needed', status: 401 });
  });

  it('refuses a wrong secret, an unknown shop and what is no key at all in the same words', async () => {
    const good = shop.keys.owner;
    const wrongSecret = good.slice(0, -2) + (good.endsWith('AA') ? 'BB' : 'AA');
    const wrongShop = good.replace(/^spk_.{4}/, 'spk_0000');
    const answers = await Promise.all(
      [wrongSecret, wrongShop, 'letmein', 'x'.repeat(150)].map(async (key) => {
        const response = await app.call('GET', '/v1/settings', { key, from: '192.0.2.2' });
        return [response.status, response.headers.get('www-authenticate'), await response.text()];
      }),
    );
    expect(answers[0]).toEqual([401, expect.stringContaining('error="invalid_token"'), expect.any(String)]);
    for (const answer of answers) expect(answer).toEqual(answers[0]);
  });

  it('lets each role do what those before it may, and names the role that is missing', async () => {
    const statuses = await Promise.all(
      (['technician', 'desk', 'owner'] as const).map(async (role) => [
        (await app.call('GET', '/v1/settings', { key: shop.keys[role] })).status,
        (await app.call('GET', '/v1/keys', { key: shop.keys[role] })).status,
      ]),
    );
    expect(statuses).toEqual([
      [403, 403],
      [200, 403],
      [200, 200],
    ]);
    const refused = await app.call('GET', '/v1/keys', { key: shop.keys.desk });
    expect(refused.headers.get('www-authenticate')).toContain('error="insufficient_scope", scope="owner"');
    expect(await refused.json()).toMatchObject({
      status: 403,
      detail: 'This key has the role desk; GET /v1/keys needs owner',
    });
  });

  it('bars an address after twenty bad keys, tells how long, and spares other addresses and keys known to be good', async () => {
    const from = '192.0.2.3';
    await app.call('GET', '/v1/settings', { key: shop.keys.desk, from });
    const statuses: number[] = [];
    for (let i = 0; i < 21; i++)
      statuses.push((await app.call('GET', '/v1/settings', { key: `guess-${i}`, from })).status);
    expect(statuses).toEqual([...Array.from({ length: 20 }, () => 401), 429]);
    const barred = await app.call('GET', '/v1/settings', { key: 'guess', from });
    expect(Number(barred.headers.get('retry-after'))).toBeGreaterThan(0);
    expect(Number(barred.headers.get('retry-after'))).toBeLessThanOrEqual(60);
    expect(await barred.json()).toMatchObject({ status: 429, title: 'Too many requests' });
    expect((await app.call('GET', '/v1/settings', { key: shop.keys.desk, from })).status).toBe(200);
    expect((await app.call('GET', '/v1/settings', { key: 'guess', from: '192.0.2.4' })).status).toBe(401);
  });
});

describe('contract: /v1/keys', () => {
  it('makes a key that works, lists it without its secret, and revokes it at once', async () => {
    const { keys } = await app.openShop();
    const made = await app.call('POST', '/v1/keys', { key: keys.owner, json: { role: 'desk', label: ' front ' } });
    expect(made.status).toBe(201);
    const { key, keyId, label } = await read<{ key: string; keyId: string; label: string }>(made);
    expect(label).toBe('front');
    expect((await app.call('GET', '/v1/settings', { key })).status).toBe(200);

    const listing = await (await app.call('GET', '/v1/keys', { key: keys.owner })).text();
    expect(listing).toContain(keyId);
    expect(listing).not.toContain(key.slice(-43));

    expect((await app.call('DELETE', `/v1/keys/${keyId}`, { key: keys.owner })).status).toBe(204);
    expect((await app.call('GET', '/v1/settings', { key })).status).toBe(401);
    expect((await app.call('DELETE', `/v1/keys/${keyId}`, { key: keys.owner })).status).toBe(404);
  });

  it('keeps the last owner key', async () => {
    const { keys } = await app.openShop();
    const ownKeyId = keys.owner.split('_')[2];
    const refused = await app.call('DELETE', `/v1/keys/${ownKeyId}`, { key: keys.owner });
    expect(refused.status).toBe(409);
    expect(await refused.json()).toMatchObject({ detail: 'This is the last owner key: make another first' });
    expect((await app.call('GET', '/v1/keys', { key: keys.owner })).status).toBe(200);
  });

  it('keeps the last owner key where two are revoked by each other at once', async () => {
    const { keys } = await app.openShop();
    const made = await read<{ key: string }>(
      await app.call('POST', '/v1/keys', { key: keys.owner, json: { role: 'owner', label: 'second' } }),
    );
    expect((await app.call('GET', '/v1/keys', { key: made.key })).status).toBe(200); // both are known from here on
    const idOf = (key: string) => key.split('_')[2];
    const revoke = (victim: string, by: string) => app.call('DELETE', `/v1/keys/${idOf(victim)}`, { key: by });
    const answers = await Promise.all([revoke(keys.owner, made.key), revoke(made.key, keys.owner)]);
    expect(answers.map(({ status }) => status).sort()).toEqual([204, 409]);
  });

  it('has no key of an id that no key could have', async () => {
    const { keys } = await app.openShop();
    expect((await app.call('DELETE', '/v1/keys/%00', { key: keys.owner })).status).toBe(404);
  });

  it('takes no label that is more than a line', async () => {
    for (const label of ['', 'a\u0000', 'a\nb', 'x'.repeat(121)]) {
      const response = await app.call('POST', '/v1/keys', { key: shop.keys.owner, json: { role: 'desk', label } });
      expect(response.status, label).toBe(422);
    }
  });

  it('names a bad role with what is allowed, and a field that is not one', async () => {
    const bad = { role: 'boss', label: 'x', colour: 'red' };
    const response = await app.call('POST', '/v1/keys', { key: shop.keys.owner, json: bad });
    expect(response.status).toBe(422);
    const { errors } = await read<ProblemRead>(response);
    expect(errors).toContainEqual(
      expect.objectContaining({
        pointer: '/role',
        field: 'role',
        value: 'boss',
        allowed: ['technician', 'desk', 'owner'],
      }),
    );
    expect(errors).toContainEqual(expect.objectContaining({ pointer: '/colour' }));
  });

  it('cannot see or revoke a key of another shop', async () => {
    const other = await app.openShop();
    const keyId = other.keys.desk.split('_')[2];
    expect((await app.call('DELETE', `/v1/keys/${keyId}`, { key: shop.keys.owner })).status).toBe(404);
    expect((await app.call('GET', '/v1/settings', { key: other.keys.desk })).status).toBe(200);
  });
});
