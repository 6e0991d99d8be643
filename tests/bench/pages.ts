/**
 * Every page that the navigation names, and those of one job and one estimate, for a learnt shop of 2,000 jobs: time on the server (median and
 * slowest of some calls after the first, which may have to compute a report) and weight with its style and scripts, as it goes over the wire
 * without compression; then what a report's first reader waits for after a new record. On a busy machine the times are more than they need be.
 * Run: node --import tsx tests/bench/pages.ts [calls]
 */
import { randomUUID } from 'node:crypto';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pino } from 'pino';
import { openDatabase } from '../../db/open.ts';
import { runShop } from '../../jobs/run-shop.ts';
import { finishedJob } from '../../src/domain/record.ts';
import { buildApp } from '../../src/http/app.ts';
import { createMetrics } from '../../src/http/metrics.ts';
import { areas } from '../../src/pages/navigation.ts';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { addPerson } from '../../src/store/people.ts';
import { insertRecords, rowOf } from '../../src/store/records.ts';
import { beginSession } from '../../src/store/sessions.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop } from '../../src/store/shops.ts';
import { formAsSent } from '../pages/form-as-sent.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const calls = Number(process.argv[2] ?? 15);
const nJobs = 2000;
const mostMs = 200;
const mostKb = 150;
const now = new Date('2026-01-05T09:00:00Z');
const dataDir = await mkdtemp(path.join(tmpdir(), 'secondpass-bench-'));
const db = await openDatabase({ databaseUrl: process.env.TEST_DATABASE_URL, dataDir });
const runFit = async () => ({ fitId: '', status: 'unchanged' as const });
const app = buildApp({ db, now: () => now, log: pino({ level: 'warn' }), metrics: createMetrics(), runFit });
try {
  const { cookie, ref, addRecord } = await openLearntShop();
  const named = areas.flatMap(({ places }) => places.map((place) => place.path));
  const job = `ref=${encodeURIComponent(ref)}`;
  const others = ['/records?technician=t1&fabric=knit', `/records/job?${job}`, `/records/job/mend?${job}`];
  console.log(`${nJobs} jobs, ${calls} calls a page${' '.repeat(12)}first ms  median  slowest      kB`);
  for (const page of ['/start', '/account', ...named, ...others]) console.log(await lineOf(page, cookie));
  console.log(await draftLine(cookie));
  for (const page of ['/findings', '/findings/quotes', '/price-list', '/findings/what-to-record']) {
    const times: number[] = [];
    for (let i = 0; i < calls; i += 1) {
      await addRecord();
      times.push((await call(page, cookie)).ms);
    }
    times.sort((a, b) => a - b);
    console.log(`${page}, first after a record: median ${times[Math.floor(calls / 2)]?.toFixed(0)} ms`);
  }
} finally {
  await db.close();
  await rm(dataDir, { recursive: true });
}

async function lineOf(page: string, cookie: string): Promise<string> {
  const { ms: first, html } = await call(page, cookie);
  const times: number[] = [];
  for (let i = 0; i < calls; i += 1) times.push((await call(page, cookie)).ms);
  times.sort((a, b) => a - b);
  const [median = Number.NaN, slowest = Number.NaN] = [times[Math.floor(calls / 2)], times.at(-1)];
  const kb = await weightKb(html, cookie);
  const over = median > mostMs || kb > mostKb ? `  over ${mostMs} ms or ${mostKb} kB` : '';
  const figures = [first, median, slowest, kb].map((value) => value.toFixed(0).padStart(8)).join(' ');
  return `${page.slice(0, 40).padEnd(40)}${figures}${over}`;
}

/** The estimate as it is typed: what desk.js asks for after each change. */
async function draftLine(cookie: string): Promise<string> {
  const { html } = await call('/estimate', cookie);
  const form = new URLSearchParams(formAsSent(html.replace(/<form [^>]*data-draft[^>]*>/, '<form class="stack job">')));
  const times: number[] = [];
  for (let i = 0; i < calls; i += 1) {
    const begun = performance.now();
    const headers = { Accept: 'text/html', Cookie: cookie, 'Sec-Fetch-Site': 'same-origin' };
    const answer = await app.request('/estimate/draft', { method: 'POST', body: form, headers });
    await answer.text();
    if (answer.status !== 200) throw new Error(`the draft: ${answer.status}`);
    times.push(performance.now() - begun);
  }
  times.sort((a, b) => a - b);
  return `an estimate as it is typed: median ${times[Math.floor(calls / 2)]?.toFixed(0)} ms`;
}

async function call(page: string, cookie: string): Promise<{ readonly ms: number; readonly html: string }> {
  const begun = performance.now();
  const answer = await app.request(page, { headers: { Accept: 'text/html', Cookie: cookie } });
  const html = await answer.text();
  if (answer.status !== 200) throw new Error(`${page}: ${answer.status}`);
  return { ms: performance.now() - begun, html };
}

async function weightKb(html: string, cookie: string): Promise<number> {
  const assets = [
    ...new Set([...html.matchAll(/(?:href|src)="(\/assets\/[^"]+)"/g)].map(([, address = '']) => address)),
  ];
  const parts = await Promise.all(assets.map(async (address) => (await call(address, cookie)).html));
  return [html, ...parts].reduce((bytes, part) => bytes + Buffer.byteLength(part), 0) / 1000;
}

async function openLearntShop() {
  const { technicians, machines, records } = simulateShop('lumps', 5, nJobs, {});
  const jobs = records.map((record, i) => finishedJob.parse({ ...record, quoted: { hours: 2 + (i % 3) } }));
  const { shopId } = await createShop(db, { name: 'Invented bench', timeZone: 'Europe/London', invented: true });
  const text = await inShop(db, shopId, async (tx) => {
    await putTechnicians(tx, technicians);
    await putMachines(tx, machines);
    await insertRecords(tx, jobs.map(rowOf));
    const person = await addPerson(tx, { name: 'Invented owner', signInName: 'owner', role: 'owner' });
    if (!person) throw new Error('the name is taken in a fresh shop');
    return beginSession(tx, { personId: person.personId, device: 'bench', now });
  });
  await runShop({ db, now: () => now }, shopId, randomUUID());
  let added = 0;
  const addRecord = () =>
    inShop(db, shopId, (tx) => insertRecords(tx, [rowOf({ ...jobs[added], ref: `one more ${added++}` })]));
  return { cookie: `secondpass_session=${text}`, ref: jobs.at(-1)?.ref ?? '', addRecord };
}
