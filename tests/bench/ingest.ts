/**
 * How fast finished jobs are taken, as ratios within one run: validated NDJSON over HTTP against COPY of the same rows
 * into the same indexed table, and single POSTs against reading and validating alone.
 * Run: node --import tsx tests/bench/ingest.ts [jobs]
 */
import { createHash } from 'node:crypto';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { Agent, request } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { serve } from '@hono/node-server';
import { pino } from 'pino';
import postgres from 'postgres';
import { type Database, openDatabase } from '../../db/open.ts';
import { finishedJob } from '../../src/domain/record.ts';
import { checkRecord } from '../../src/domain/record-rules.ts';
import { buildApp } from '../../src/http/app.ts';
import { createMetrics } from '../../src/http/metrics.ts';
import { createKey } from '../../src/store/keys.ts';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop } from '../../src/store/shops.ts';

const jobs = Number(process.argv[2] ?? 20_000);
const perRequest = 1000;
const inFlight = 2;
const connections = 8;
const posts = 4000;

const dataDir = await mkdtemp(path.join(tmpdir(), 'secondpass-bench-'));
const db = await openDatabase({ databaseUrl: process.env.TEST_DATABASE_URL, dataDir });
const agent = new Agent({ keepAlive: true, maxSockets: connections });
const { server, port } = await startServer(db);
try {
  await compareUploads();
  await comparePosts();
} finally {
  agent.destroy();
  server.close();
  await db.close();
  await rm(dataDir, { recursive: true });
}

async function compareUploads(): Promise<void> {
  const ratios: number[] = [];
  for (let round = 0; round < 3; round++) {
    const shop = await openShop();
    const records = Array.from({ length: jobs }, (_, i) => jobNumber(i));
    const blocks = copyLines(shop.shopId, records);
    const copied = await timed(() => copyRows(blocks));
    await emptyShop(shop.shopId);
    const bodies = uploadBodies(records);
    const sent = await timed(() => uploadAll(shop.key, bodies));
    await emptyShop(shop.shopId);
    ratios.push(sent / copied);
    const rates = `COPY ${perSecond(jobs, copied)}, NDJSON over HTTP ${perSecond(jobs, sent)}`;
    console.log(`round ${round + 1}: ${rates}: ${(sent / copied).toFixed(2)} times COPY`);
  }
  console.log(`upload: ${median(ratios).toFixed(2)} times the time of COPY (to reach: 2.5)`);
}

async function comparePosts(): Promise<void> {
  const texts = Array.from({ length: posts }, (_, i) => JSON.stringify(jobNumber(i)));
  const yardstick = posts / (await timed(async () => readAlone(texts)));
  const { key } = await openShop();
  await eachOf(texts.slice(0, 500), connections, (text) =>
    post(key, text.replace('"B-', '"W-'), 'application/json', 201),
  );
  const rate =
    posts / (await timed(() => eachOf(texts, connections, (text) => post(key, text, 'application/json', 201))));
  console.log(`JSON and validation alone, in process: ${yardstick.toFixed(0)} a second`);
  const alone = await emptyServerRate(texts);
  const scaled = (rate * 4600) / alone;
  console.log(`JSON and validation alone, over HTTP: ${alone.toFixed(0)} a second`);
  console.log(
    `one POST: ${rate.toFixed(0)} a second; ${scaled.toFixed(0)} where JSON and zod alone make 4600 (to reach: 600)`,
  );
}

function readAlone(texts: readonly string[]): void {
  for (const text of texts) finishedJob.parse(JSON.parse(text));
}

/** The yardstick: the same server work without a database. */
async function emptyServerRate(texts: readonly string[]): Promise<number> {
  const context = {
    now: new Date('2025-06-01T00:00:00Z'),
    technicians: new Set(['t1', 't2', 't3']),
    machines: new Set(['m1']),
  };
  const { Hono } = await import('hono');
  const app = new Hono().post('/', async (c) =>
    c.json({ ok: checkRecord(JSON.parse(await c.req.text()), context).ok }, 201),
  );
  const plain = serve({ fetch: app.fetch, port: 0, hostname: '127.0.0.1' });
  await once(plain, 'listening');
  const { port: plainPort } = plain.address() as AddressInfo;
  const run = () => eachOf(texts, connections, (text) => post('', text, 'application/json', 201, plainPort, '/'));
  await run();
  const seconds = await timed(run);
  plain.close();
  return texts.length / seconds;
}

async function startServer(database: Database) {
  const metrics = createMetrics();
  const now = () => new Date('2025-06-01T00:00:00Z');
  const runFit = async () => ({ fitId: '', status: 'unchanged' as const });
  const app = buildApp({ db: database, now, log: pino({ level: 'warn' }), metrics, runFit });
  const running = serve({ fetch: app.fetch, port: 0, hostname: '127.0.0.1' });
  await once(running, 'listening');
  return { server: running, port: (running.address() as AddressInfo).port };
}

async function openShop(): Promise<{ shopId: string; key: string }> {
  const { shopId } = await createShop(db, { name: 'Invented bench', timeZone: 'Europe/London', invented: true });
  return inShop(db, shopId, async (tx) => {
    await putTechnicians(
      tx,
      ['t1', 't2', 't3'].map((key) => ({ key, name: key })),
    );
    await putMachines(tx, [{ key: 'm1', name: 'm1', kind: 'extractor', grade: 'standard' }]);
    return { shopId, key: (await createKey(tx, { role: 'owner', label: 'bench' })).text };
  });
}

async function emptyShop(shopId: string): Promise<void> {
  await inShop(db, shopId, (tx) => tx.sql`delete from job where shop_id = ${shopId}`);
  await inShop(db, shopId, (tx) => tx.sql`analyze job`);
}

/** An invented job of four sections. */
function jobNumber(i: number) {
  return {
    ref: `B-${i}`,
    finishedAt: new Date(Date.UTC(2024, 0, 1) + i * 60_000).toISOString(),
    bodyStyle: 'sedan',
    modelYear: 2010 + (i % 14),
    seatsRemoved: i % 3 === 0,
    labour: [{ technician: `t${(i % 3) + 1}`, minutes: 120 + (i % 90) }],
    extractor: 'm1',
    dilution: 20,
    sprayedLitres: 9 + (i % 7) / 2,
    recoveredLitres: 7 + (i % 5) / 2,
    sections: (['front-seat', 'rear-bench', 'floor-carpet', 'floor-mats'] as const).map((area, k) => ({
      area,
      count: 1 + (k % 2),
      fabric: k < 2 ? 'flat-woven' : 'cut-pile',
      soil: (['light', 'moderate', 'heavy'] as const)[(i + k) % 3],
      stains: k === 1 ? ['drink', 'food'] : [],
      method: 'extraction',
      wetPasses: 1 + ((i + k) % 3),
      dryPasses: 2,
      technician: `t${(i % 3) + 1}`,
    })),
    drying: {
      aid: 'fan',
      airC: 18 + (i % 9),
      rhPercent: 40 + (i % 30),
      checks: [
        { hours: 3, dry: false },
        { hours: 7, dry: true },
      ],
    },
  };
}

/** The same rows as the program stores, validated and digested beforehand: COPY is timed alone. */
async function copyRows(blocks: readonly string[]): Promise<void> {
  // COPY is not for the program's role, which row-level security binds: the owner does it here.
  const owner = postgres(db.ownerUrl, { max: 1 });
  try {
    const into = await owner`copy job (shop_id, ref, version, finished_at, record, digest) from stdin`.writable();
    await pipeline(Readable.from(blocks), into);
  } finally {
    await owner.end();
  }
}

function copyLines(shopId: string, records: readonly unknown[]): string[] {
  const lines = records.map((record) => {
    const parsed = finishedJob.parse(record);
    const json = JSON.stringify(parsed);
    const digest = createHash('sha256').update(json).digest('hex');
    return `${shopId}\t${parsed.ref}\t1\t${parsed.finishedAt}\t${json.replaceAll('\\', '\\\\')}\t\\\\x${digest}\n`;
  });
  const blocks: string[] = [];
  for (let i = 0; i < lines.length; i += 500) blocks.push(lines.slice(i, i + 500).join(''));
  return blocks;
}

function uploadBodies(records: readonly unknown[]): string[] {
  const lines = records.map((record) => `${JSON.stringify(record)}\n`);
  const bodies: string[] = [];
  for (let i = 0; i < lines.length; i += perRequest) bodies.push(lines.slice(i, i + perRequest).join(''));
  return bodies;
}

async function uploadAll(key: string, bodies: readonly string[]): Promise<void> {
  await eachOf(bodies, inFlight, async (body) => {
    const report: unknown = JSON.parse(await post(key, body, 'application/x-ndjson', 200));
    const taken = typeof report === 'object' && report !== null && Reflect.get(report, 'accepted') === perRequest;
    if (!taken) throw new Error(`not all taken: ${JSON.stringify(report).slice(0, 300)}`);
  });
}

function post(
  key: string,
  body: string,
  type: string,
  status: number,
  to = port,
  where = '/v1/records',
): Promise<string> {
  return new Promise((resolve, reject) => {
    const headers = { Authorization: `Bearer ${key}`, 'Content-Type': type, 'Content-Length': Buffer.byteLength(body) };
    const sent = request({ port: to, host: '127.0.0.1', path: where, method: 'POST', headers, agent }, (response) => {
      let text = '';
      response.setEncoding('utf8').on('data', (piece: string) => {
        text += piece;
      });
      response.on('end', () => (response.statusCode === status ? resolve(text) : reject(new Error(text))));
    });
    sent.on('error', reject).end(body);
  });
}

async function eachOf<T>(items: readonly T[], atOnce: number, work: (item: T) => Promise<unknown>): Promise<void> {
  const queue = items.values();
  await Promise.all(
    Array.from({ length: atOnce }, async () => {
      for (const item of queue) await work(item);
    }),
  );
}

async function timed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now();
  await work();
  return (performance.now() - start) / 1000;
}

function perSecond(count: number, seconds: number): string {
  return `${Math.round(count / seconds)} a second`;
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
}
