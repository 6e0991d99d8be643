import { once } from 'node:events';
import { type IncomingMessage, request } from 'node:http';
import { Hono } from 'hono';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AppEnv } from '../../src/http/env.ts';
import { limitedBody } from '../../src/http/limited-body.ts';
import { type Listening, listen } from '../../src/http/listen.ts';

const most = 10;

let server: Listening;
beforeAll(async () => {
  const app = new Hono<AppEnv>();
  app.use(limitedBody(most, (c) => c.text('too large', 413)));
  app.all('/', async (c) => c.text(await c.req.text()));
  server = await listen(app, { host: '127.0.0.1', port: 0 });
});
afterAll(() => server.stop(1000));

describe('a body of more bytes than the limit is refused over a real connection', () => {
  it.each([
    ['POST', 'told', 10, 200],
    ['POST', 'told', 11, 413],
    ['POST', 'in pieces of no told length', 10, 200],
    ['POST', 'in pieces of no told length', 11, 413],
    ['POST', 'told', 0, 200],
    ['GET', 'told', 0, 200],
    ['GET', 'told', 11, 413],
  ] as const)('%s, %s, %i bytes: %i', async (method, how, bytes, status) => {
    const headers = how === 'told' ? { 'Content-Length': bytes } : { 'Transfer-Encoding': 'chunked' };
    const sending = request(server.address, { method, headers });
    const answer = once(sending, 'response');
    for (let i = 0; i < bytes; i++) sending.write('x');
    sending.end();
    const [response] = (await answer) as [IncomingMessage];
    response.setEncoding('utf8');
    const text = (await response.toArray()).join('');
    expect([response.statusCode, text]).toEqual([
      status,
      status === 413 ? 'too large' : method === 'GET' ? '' : 'x'.repeat(bytes),
    ]);
  });
});
