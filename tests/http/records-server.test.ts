import { once } from 'node:events';
import { mkdtemp, readdir, rm } from 'node:fs/promises';
import { type ClientRequest, type IncomingMessage, request } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { serve } from '@hono/node-server';
import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { buildApp } from '../../src/http/app.ts';
import { type AppUnderTest, jobOf, linesOf, openRecordsShop, type RecordsShop, startApp } from './records-shop.ts';

let app: AppUnderTest;
let shop: RecordsShop;
let server: ReturnType<typeof serve>;
beforeAll(async () => {
  vi.stubEnv('TMPDIR', await mkdtemp(path.join(tmpdir(), 'records-test-'))); // uploads of this file alone
  app = await startApp();
  shop = await openRecordsShop(app);
  server = serve({ fetch: buildApp(app.deps).fetch, port: 0, hostname: '127.0.0.1' });
  await once(server, 'listening');
});
afterAll(async () => {
  server.close();
  await app.close();
  await rm(tmpdir(), { recursive: true });
  vi.unstubAllEnvs();
});

describe('contract: uploads over a real connection', () => {
  it('a body that is declared too large is a 413 before it is sent', async () => {
    const sending = begin({ 'Content-Length': '300000000' });
    sending.write('{');
    expect(await answerTo(sending)).toMatchObject({ status: 413, text: expect.stringContaining('200000000 bytes') });
  });

  it('a line without end is a 413 while more of it is still coming', async () => {
    const sending = begin();
    sending.on('error', () => {}); // the rest of the body finds nobody
    const feeding = setInterval(() => sending.write('x'.repeat(100_000)), 2);
    const answer = await answerTo(sending);
    clearInterval(feeding);
    expect(answer).toMatchObject({ status: 413, text: expect.stringContaining('Line 1 is larger than 256000 bytes') });
  });

  it.each(['', '?all-or-nothing=true'])('a client that goes away leaves whole jobs or none %s', async (query) => {
    const many = linesOf(Array.from({ length: 700 }, (_, i) => jobOf(`gone-${i}${query}`)));
    const sending = begin({}, query);
    sending.on('error', () => {});
    sending.write(many);
    await until(async () => (query === '' ? (await shop.refs('?limit=1000')).length === 500 : (await onDisk()) === 1));
    sending.destroy();
    await until(async () => (await open()) + (await onDisk()) === 0);
    expect((await shop.refs('?limit=1000')).filter((ref) => ref.endsWith('true'))).toEqual([]);
    expect(app.logged.filter((line) => line.includes('request failed'))).toEqual([]);
    expect((await shop.post(jobOf(`after-${query.length}`))).status).toBe(201);
  });

  it('a slow upload by all or nothing keeps nobody waiting', async () => {
    const sending = begin({}, '?all-or-nothing=true');
    sending.write(`${JSON.stringify(jobOf('slow'))}\n`);
    expect((await shop.post(jobOf('slow'))).status).toBe(201);
    sending.end();
    expect(JSON.parse((await answerTo(sending)).text)).toMatchObject({ accepted: 0, unchanged: 1 });
  });
});

function begin(headers: Record<string, string> = {}, query = ''): ClientRequest {
  const { port } = server.address() as AddressInfo;
  return request({
    port,
    host: '127.0.0.1',
    method: 'POST',
    path: `/v1/records${query}`,
    headers: { Authorization: `Bearer ${shop.keys.owner}`, 'Content-Type': 'application/x-ndjson', ...headers },
  });
}

async function answerTo(sending: ClientRequest): Promise<{ status: number | undefined; text: string }> {
  const [response]: IncomingMessage[] = await once(sending, 'response');
  let text = '';
  for await (const piece of response ?? []) text += piece;
  sending.destroy();
  return { status: response?.statusCode, text };
}

/** Uploads that are being put down on disk. */
async function onDisk(): Promise<number> {
  return (await readdir(tmpdir())).filter((name) => name.startsWith('secondpass-upload-')).length;
}

/** Transactions that are still open on the program's connections; only the server's own sees them. */
async function open(): Promise<number> {
  const admin = postgres(app.db.adminUrl, { max: 1 });
  const name = new URL(app.db.url).pathname.slice(1);
  const [row] = await admin<{ open: number }[]>`
    select count(*)::int as open from pg_stat_activity
    where datname = ${name} and state like 'idle in transaction%'`;
  await admin.end();
  return row?.open ?? 0;
}

async function until(holds: () => Promise<boolean>): Promise<void> {
  for (let tries = 0; tries < 800; tries++) {
    if (await holds()) return;
    await new Promise((resume) => setTimeout(resume, 25));
  }
  throw new Error('it did not come to hold within twenty seconds');
}
