/**
 * The nights of many shops of mixed size, one after another as the schedule runs them, each fit in a process of its own: CPU a shop, memory,
 * and what that makes of two thousand shops on two cores. The database server's own share is not in it. Reads /proc: Linux only.
 * Run: node --import tsx tests/bench/nights.ts [shops]
 */
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { openDatabase } from '../../db/open.ts';
import { runNight } from '../../jobs/run-night.ts';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { insertRecords, rowOf } from '../../src/store/records.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop } from '../../src/store/shops.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const shops = Number(process.argv[2] ?? 24);
const [fewestJobs, mostJobs, newJobs] = [50, 1000, 4];
const ticksASecond = 100;
const dataDir = await mkdtemp(path.join(tmpdir(), 'secondpass-bench-'));
const db = await openDatabase({ databaseUrl: process.env.TEST_DATABASE_URL, dataDir });
const deps = { db, now: () => new Date() };

interface Shop {
  readonly shopId: string;
  readonly jobs: number;
  readonly later: ReturnType<typeof simulateShop>['records'];
}

let childPeakMiB = 0;
const watch = setInterval(() => void lookAtChildren(), 100);
try {
  const made: Shop[] = [];
  for (let i = 0; i < shops; i++) made.push(await makeShop(i));
  await nights('first night', '2026-01-05', made);
  for (const { shopId, later } of made) await inShop(db, shopId, (tx) => insertRecords(tx, later.map(rowOf)));
  await nights('ordinary night', '2026-01-06', made);
} finally {
  clearInterval(watch);
  await db.close();
  await rm(dataDir, { recursive: true });
}

/** Sizes spread evenly on the log scale: many small shops, few large ones. */
async function makeShop(i: number): Promise<Shop> {
  const jobs = Math.round(fewestJobs * (mostJobs / fewestJobs) ** (i / Math.max(1, shops - 1)));
  const { technicians, machines, records } = simulateShop(i % 2 === 0 ? 'lumps' : 'strips', i + 1, jobs + newJobs);
  const { shopId } = await createShop(db, { name: `Invented ${i + 1}`, timeZone: 'Europe/London' });
  await inShop(db, shopId, async (tx) => {
    await putTechnicians(tx, technicians);
    await putMachines(tx, machines);
    await insertRecords(tx, records.slice(0, jobs).map(rowOf));
  });
  return { shopId, jobs, later: records.slice(jobs) };
}

async function nights(name: string, night: string, made: readonly Shop[]): Promise<void> {
  const before = await cpuSeconds();
  childPeakMiB = 0;
  // By quarters, smallest shops first: what a child spent is known a moment after its answer, so a single shop's would fall to the next.
  for (let first = 0; first < made.length; first += Math.ceil(made.length / 4)) {
    const some = made.slice(first, first + Math.ceil(made.length / 4));
    const start = await cpuSeconds();
    const statuses = new Set<string>();
    for (const { shopId } of some) statuses.add(await runNight(deps, shopId, night));
    const spent = ((await cpuSeconds()) - start) / some.length;
    const ownMiB = Math.round(process.memoryUsage().rss / 2 ** 20);
    console.log(
      `${name}, ${some.length} shops of ${some[0]?.jobs} to ${some.at(-1)?.jobs} jobs: ${[...statuses].join(', ')}, ${spent.toFixed(2)} s of CPU each; own memory ${ownMiB} MiB`,
    );
  }
  const mean = ((await cpuSeconds()) - before) / made.length;
  console.log(
    `${name}: ${mean.toFixed(2)} s of CPU a shop, children's peak ${childPeakMiB} MiB; 2,000 shops on two cores: ${((2000 * mean) / 2 / 3600).toFixed(2)} hours`,
  );
}

/** Of this process and its children that have ended. */
async function cpuSeconds(): Promise<number> {
  const { user, system } = process.cpuUsage();
  const stat = await readFile('/proc/self/stat', 'utf8');
  // After the name in brackets: cutime and cstime are fields 16 and 17 of proc(5), the 14th and 15th from there on.
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  return (user + system) / 1e6 + (Number(fields[13]) + Number(fields[14])) / ticksASecond;
}

async function lookAtChildren(): Promise<void> {
  const children = await readFile(`/proc/${process.pid}/task/${process.pid}/children`, 'utf8').catch(() => '');
  for (const pid of children.split(' ').filter((text) => text !== '')) {
    // A child may end between the two looks: then there is nothing to read of it.
    const status = await readFile(`/proc/${pid}/status`, 'utf8').catch(() => '');
    if (!status.includes('node')) continue;
    childPeakMiB = Math.max(childPeakMiB, Math.round(Number(/VmHWM:\s+(\d+)/.exec(status)?.[1] ?? 0) / 1024));
  }
}
