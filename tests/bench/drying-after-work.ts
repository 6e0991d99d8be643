/**
 * What it is worth to know how the work went: score of the hours until dry (CRPS) and share inside 80 % ranges, forecast from the plan and
 * once the work is done, by five mechanisms, twenty jobs of each of twenty shops, those with litres read by themselves. Neither knows a drying
 * check. Without records it is the rules of thumb.
 * Run: node --import tsx tests/bench/drying-after-work.ts [records]
 */
import { crpsOfSorted, shareAtOrBelow } from '../../src/inference/scores-ensemble.ts';
import { dryingAfterWork } from '../../src/models/drying-after-work.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { fitShop } from '../../src/models/fit.ts';
import { simulatePatches } from '../support/simulate/patches/shop.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { simulateSponge } from '../support/simulate/sponge-shop.ts';
import type { SimulatedShop } from '../support/simulate/types.ts';
import { simulateZones } from '../support/simulate/zones/shop.ts';

const nRecords = Number(process.argv[2] ?? 100);
const now = new Date('2026-01-05');
const nDraws = 400;
// A year of one job at least: how a shop with none would spread them over it is not asked.
const nJobs = Math.max(1, nRecords);
const mechanisms: Readonly<Record<string, (seed: number) => SimulatedShop>> = {
  lumps: (seed) => simulateShop('lumps', seed, nJobs),
  strips: (seed) => simulateShop('strips', seed, nJobs),
  sponge: (seed) => simulateSponge(seed, nJobs),
  patches: (seed) => simulatePatches(seed, nJobs),
  zones: (seed) => simulateZones(seed, nJobs),
};

interface Sums {
  n: number;
  crps: number;
  inside: number;
  above: number;
}

for (const [name, simulate] of Object.entries(mechanisms)) {
  const read = { plan: nothing(), after: nothing() };
  const unread = { plan: nothing(), after: nothing() };
  for (let seed = 301; seed < 321; seed++) {
    const shop = simulate(seed);
    const result = fitShop({ ...shop, records: shop.records.slice(0, nRecords), now });
    if (result.status !== 'fitted') throw new Error(`${name} ${seed} was not fitted`);
    for (let i = 0; i < 20; i++) {
      const { planned, outcome, record } = shop.plan(i);
      const unchecked = { ...record, drying: { ...planned.drying, ...record.drying, checks: [] } };
      const forecast = dryingAfterWork(result.fit, unchecked, shop);
      if (forecast === undefined) continue;
      const sums = forecast.knowsLitres ? read : unread;
      const drawn = simulateJob(result.fit, plannedWork(result.fit, planned, { ...shop, now }), nDraws).dryHours;
      score(sums.plan, drawn.slice().sort(), outcome.dryingHours);
      score(
        sums.after,
        Float64Array.from({ length: nDraws }, (_, k) => forecast.quantile((k + 0.5) / nDraws)),
        outcome.dryingHours,
      );
    }
  }
  tell(`${name}, litres read`, read);
  tell(`${name}, not read`, unread);
  tell(`${name}, all`, { plan: added(read.plan, unread.plan), after: added(read.after, unread.after) });
}

function nothing(): Sums {
  return { n: 0, crps: 0, inside: 0, above: 0 };
}

function added(a: Sums, b: Sums): Sums {
  return { n: a.n + b.n, crps: a.crps + b.crps, inside: a.inside + b.inside, above: a.above + b.above };
}

function tell(what: string, { plan, after }: { readonly plan: Sums; readonly after: Sums }): void {
  const share = ({ n, inside, above }: Sums) =>
    `${Math.round((100 * inside) / n)} % (later ${Math.round((100 * above) / n)})`;
  const change = (100 * (after.crps / plan.crps - 1)).toFixed(1);
  console.log(
    `${what}: CRPS ${change} % against the plan's; inside 80 %: ${share(plan)} by the plan, ${share(after)} after`,
  );
}

function score(sums: Sums, sorted: Float64Array, y: number): void {
  const at = shareAtOrBelow(sorted, y);
  sums.n += 1;
  sums.crps += crpsOfSorted(sorted, y);
  if (Math.abs(at - 0.5) <= 0.4) sums.inside += 1;
  if (at > 0.9) sums.above += 1;
}
