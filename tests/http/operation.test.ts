import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type AppUnderTest, type ProblemRead, read, startApp } from './app-under-test.ts';

let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp();
});
afterAll(() => app.close());

describe('contract: looking after the server', () => {
  it('is alive and ready without a key', async () => {
    for (const path of ['/healthz', '/readyz']) {
      const response = await app.call('GET', path);
      expect([path, response.status, await response.json()]).toEqual([path, 200, { status: 'ok' }]);
    }
  });

  it('is alive but not ready once a table is missing or the database is gone, and tells the cause to the log alone', async () => {
    const other = await startApp();
    try {
      await asOwner(other, (sql) => sql`alter table estimate rename to estimates_elsewhere`);
      const missing = await other.call('GET', '/readyz');
      expect(missing.status).toBe(503);
      expect(await missing.text()).not.toContain('estimate');
      expect(other.logged.join('')).toContain('tables missing: estimate');
      expect((await other.call('GET', '/healthz')).status).toBe(200);
    } finally {
      await other.close();
    }
    expect((await other.call('GET', '/readyz')).status).toBe(503);
  });

  it('counts requests by route, not by address, and shows no shop', async () => {
    const { shopId, keys } = await app.openShop();
    await app.call('GET', '/v1/fits/0b9f3f4e-3f0a-4a5e-8f58-3a3f0f7f6a09', { key: keys.owner });
    await app.call('GET', '/nowhere/at/all');
    const metrics = await app.call('GET', '/metrics');
    expect(metrics.headers.get('content-type')).toContain('text/plain');
    const text = await metrics.text();
    expect(text).toContain('secondpass_http_requests_total{method="GET",route="/v1/fits/:id",status="404"} 1');
    expect(text).toContain('secondpass_http_requests_total{method="GET",route="none",status="404"} 1');
    expect(text).not.toContain(shopId);
    expect(text).not.toContain('0b9f3f4e');
  });
});

describe('contract: every answer', () => {
  it('carries a request id, the one that came or a new one, and the log line has it too', async () => {
    const own = await app.call('GET', '/healthz', { headers: { 'X-Request-Id': 'counter-7' } });
    expect(own.headers.get('x-request-id')).toBe('counter-7');
    expect(app.logged.join('')).toContain('"requestId":"counter-7"');
    const made = await app.call('GET', '/healthz');
    expect(made.headers.get('x-request-id')).toMatch(/^[0-9a-f-]{36}$/);
    const forged = await app.call('GET', '/healthz', { headers: { 'X-Request-Id': 'a b"c' } });
    expect(forged.headers.get('x-request-id')).toMatch(/^[0-9a-f-]{36}$/);
  });

  it('may not be sniffed, framed or run', async () => {
    const { headers } = await app.call('GET', '/healthz');
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('content-security-policy')).toBe("default-src 'none'; frame-ancestors 'none'");
    expect(headers.get('referrer-policy')).toBe('no-referrer');
  });

  it('is a problem where the address, the method, the content type or the JSON is wrong', async () => {
    const { keys } = await app.openShop();
    const key = keys.owner;
    const json = { 'Content-Type': 'application/json' };
    const answers = [
      [404, await app.call('GET', '/nowhere')],
      [404, await app.call('GET', '/v1/nowhere', { key })],
      [405, await app.call('PATCH', '/v1/settings', { key })],
      [415, await app.call('PUT', '/v1/settings', { key, body: 'a=1', headers: { 'Content-Type': 'text/html' } })],
      [400, await app.call('PUT', '/v1/settings', { key, body: '{"labourRate":', headers: json })],
      [422, await app.call('PUT', '/v1/settings', { key, body: '[]', headers: json })],
      [413, await app.call('PUT', '/v1/settings', { key, body: `"${'x'.repeat(300_000)}"`, headers: json })],
    ] as const;
    for (const [status, response] of answers) {
      expect([status, response.status]).toEqual([status, status]);
      expect(response.headers.get('content-type')).toBe('application/problem+json');
      expect(response.headers.get('x-request-id')).toMatch(/^[0-9a-f-]{36}$/);
      expect(response.headers.get('x-content-type-options')).toBe('nosniff');
      const problem = await read<ProblemRead>(response);
      expect(problem).toMatchObject({ type: 'about:blank', status, title: expect.any(String) });
      expect(problem.detail.length).toBeGreaterThan(10);
    }
    expect(answers[2][1].headers.get('allow')).toBe('GET, HEAD, PUT');
  });

  it('tells nothing of the inside when something breaks: the log has the cause, the answer the request id', async () => {
    const other = await startApp({
      runFit: () => {
        throw new Error('column "hidden" does not exist');
      },
    });
    try {
      const { keys } = await other.openShop();
      const response = await other.call('POST', '/v1/fits', { key: keys.owner });
      const problem = await read<ProblemRead>(response);
      expect(problem).toEqual({
        type: 'about:blank',
        title: 'Internal error',
        status: 500,
        detail: 'The request could not be answered; the log has the cause',
        requestId: response.headers.get('x-request-id'),
      });
      // The run that broke down has a line of its own; this is the request's.
      const line = other.logged.find((one) => one.includes('hidden') && one.includes('requestId')) ?? '';
      expect(JSON.parse(line)).toMatchObject({ requestId: problem.requestId, err: { message: expect.any(String) } });
    } finally {
      await other.close();
    }
  });
});

describe('contract: the log', () => {
  it('has one line a request, and never a key, a body or a query', async () => {
    const { keys } = await app.openShop();
    app.logged.length = 0;
    await app.call('GET', '/v1/fits?limit=7', { key: keys.owner });
    await app.call('PUT', '/v1/settings', { key: keys.owner, json: { currency: 'XTS' } });
    await app.call('GET', '/v1/fits', { key: `${keys.owner}x` });
    const made = await read<{ key: string }>(
      await app.call('POST', '/v1/keys', { key: keys.owner, json: { role: 'desk', label: 'front' } }),
    );
    const lines = app.logged.map((line) => JSON.parse(line));
    expect(
      lines.filter((line) => line.msg === 'answered').map((line) => [line.method, line.route, line.status]),
    ).toEqual([
      ['GET', '/v1/fits', 200],
      ['PUT', '/v1/settings', 200],
      ['GET', '/v1/fits', 401],
      ['POST', '/v1/keys', 201],
    ]);
    const text = app.logged.join('');
    expect(text).not.toMatch(/spk_|Bearer|XTS|limit=7/);
    for (const key of [...Object.values(keys), made.key]) expect(text).not.toContain(key.slice(-43));
  });
});

async function asOwner({ db }: AppUnderTest, work: (sql: postgres.Sql) => Promise<unknown>): Promise<void> {
  const sql = postgres(db.ownerUrl, { max: 1 });
  try {
    await work(sql);
  } finally {
    await sql.end();
  }
}
