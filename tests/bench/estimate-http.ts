/**
 * The whole call of one estimate over HTTP, one after another on one connection, from a client in a process of its own: median and 99th
 * percentile on an idle machine; on a busy one only the CPU time means anything.
 * Run: node --import tsx tests/bench/estimate-http.ts [calls]
 */
import { fork } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { pino } from 'pino';
import { type Database, openDatabase } from '../../db/open.ts';
import { demoShop } from '../../seed/shop.ts';
import { finishedJob } from '../../src/domain/record.ts';
import { buildApp } from '../../src/http/app.ts';
import { plannedExample } from '../../src/http/estimate-schemas.ts';
import { listen } from '../../src/http/listen.ts';
import { createMetrics } from '../../src/http/metrics.ts';
import { fitShop } from '../../src/models/fit.ts';
import { encodeShopFit } from '../../src/models/fit-codec.ts';
import { publishFit } from '../../src/store/fits.ts';
import { createKey } from '../../src/store/keys.ts';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop } from '../../src/store/shops.ts';

const calls = Number(process.argv[2] ?? 2000);
const warmUp = 400;
const shop = demoShop(1, '2026-11-01');
const [address, key] = process.argv.slice(3);
await (address === undefined ? serve() : ask(address, key));

async function serve(): Promise<void> {
  const now = new Date('2026-11-01T08:00:00Z');
  const dataDir = await mkdtemp(path.join(tmpdir(), 'secondpass-bench-'));
  const db = await openDatabase({ databaseUrl: process.env.TEST_DATABASE_URL, dataDir });
  const runFit = async () => ({ fitId: '', status: 'unchanged' as const });
  const deps = { db, now: () => now, log: pino({ level: 'warn' }), metrics: createMetrics(), runFit };
  const server = await listen(buildApp(deps), { host: '127.0.0.1', port: 0 });
  try {
    const key = await openFittedShop(db, now);
    const before = process.cpuUsage();
    const client = fork(fileURLToPath(import.meta.url), [String(calls), server.address, key]);
    await once(client, 'exit');
    const { user, system } = process.cpuUsage(before);
    console.log(`CPU of the server: ${((user + system) / 1000 / (calls + warmUp)).toFixed(1)} ms a call`);
  } finally {
    await server.stop(1000);
    await db.close();
    await rm(dataDir, { recursive: true });
  }
}

async function ask(address: string, key: string): Promise<void> {
  for (const [who, body] of [
    ['technician and extractor open', { ...plannedExample, extractor: null }],
    ['both named', { ...plannedExample, extractor: shop.machines[0].key, technician: shop.technicians[0].key }],
  ] as const) {
    for (let i = 0; i < warmUp / 2; i++) await estimate(address, key, body);
    const times: number[] = [];
    for (let i = 0; i < calls / 2; i++) times.push(await estimate(address, key, body));
    times.sort((a, b) => a - b);
    const at = (share: number) => (times[Math.floor((share * calls) / 2)] ?? Number.NaN).toFixed(1);
    console.log(`estimate over HTTP, ${who}: median ${at(0.5)} ms (to reach: 10), p99 ${at(0.99)} ms (to reach: 50)`);
  }
}

async function estimate(address: string, key: string, body: object): Promise<number> {
  const begun = performance.now();
  const answer = await fetch(`${address}/v1/estimates`, {
    method: 'POST',
    headers: { Authorization: `Bearer ${key}`, 'Content-Type': 'application/json' },
    body: JSON.stringify(body),
  });
  const text = await answer.text();
  if (answer.status !== 201) throw new Error(text);
  return performance.now() - begun;
}

/** The invented shop's people, machines and fit; its records are not needed for an answer. */
async function openFittedShop(db: Database, now: Date): Promise<string> {
  const { technicians, machines, records } = shop;
  const result = fitShop({ technicians, machines, now, records: records.map((record) => finishedJob.parse(record)) });
  if (result.status === 'failed') throw new Error(JSON.stringify(result.failures));
  const posterior = encodeShopFit(result.fit);
  const { shopId } = await createShop(db, { name: 'Invented bench', timeZone: 'Europe/London', invented: true });
  return inShop(db, shopId, async (tx) => {
    await putTechnicians(tx, technicians);
    await putMachines(tx, machines);
    const about = { fitId: randomUUID(), dataState: 'bench', startedAt: now, finishedAt: now, reason: null };
    await publishFit(tx, { ...about, nJobs: records.length, summary: {}, scores: null, posterior });
    return (await createKey(tx, { role: 'desk', label: 'bench' })).text;
  });
}
