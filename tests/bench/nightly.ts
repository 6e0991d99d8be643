/**
 * CPU time of one shop's nightly arithmetic, scoring included: `node --import tsx tests/bench/nightly.ts [jobs]`.
 * First: nothing is known of the shop. Ordinary: a night after, with eight jobs more, the former fit and its scores at hand.
 */
import { type ComputedFit, computeFit, type FitMaterial } from '../../jobs/compute-fit.ts';
import { fitShop } from '../../src/models/fit.ts';
import { simulateShop } from '../support/simulate/shop.ts';

const jobs = Number(process.argv[2] ?? 2000);
const aNight = 8;
const { technicians, machines, records } = simulateShop('strips', 1, jobs);
const all: FitMaterial = {
  technicians,
  machines,
  records,
  timeZone: 'Etc/UTC',
  rules: {},
  now: new Date('2026-01-05'),
};
const before: FitMaterial = { ...all, records: records.slice(0, jobs - aNight) };

const cpuSeconds = new Map<string, number>();
console.log(`${jobs} jobs, CPU seconds`);
const first = timed('first night', () => computeFit(before));
let last = first;
// Months that the first night had no time for are scored in those that follow.
for (let night = 2; (last.scores?.months.length ?? 0) < monthsOf(before); night++)
  last = timed(`night ${night}, the same records`, () => computeFit({ ...before, ...former(last) }));
const ordinary = timed('ordinary night', () => computeFit({ ...all, ...former(last) }));
timed('of these the fit alone, from nothing', () => fitShop(all));
console.log(`${first.status}, ${ordinary.status}; ${Math.round(process.memoryUsage().rss / 2 ** 20)} MiB at the end`);
const perRow = (1e3 * (cpuSeconds.get('ordinary night') ?? Number.NaN)) / jobs;
console.log(`ordinary night: ${perRow.toFixed(2)} ms a job`);
const hours = (2000 * (cpuSeconds.get('ordinary night') ?? Number.NaN)) / (2 * 3600);
console.log(`2,000 such shops on two cores: ${hours.toFixed(1)} hours`);

function former({ posterior, scores }: ComputedFit): Partial<FitMaterial> {
  return { published: posterior ?? undefined, formerScores: scores ?? undefined };
}

function monthsOf({ records: of }: FitMaterial): number {
  return Math.min(12, new Set(of.map(({ finishedAt }) => new Date(finishedAt).toISOString().slice(0, 7))).size);
}

function timed<T>(name: string, work: () => T): T {
  const start = process.cpuUsage();
  const result = work();
  const { user, system } = process.cpuUsage(start);
  const spent = (user + system) / 1e6;
  cpuSeconds.set(name, spent);
  console.log(`${name}: ${spent.toFixed(2)}`);
  return result;
}
