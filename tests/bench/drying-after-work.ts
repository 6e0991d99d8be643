/**
 * What it is worth to know how the work went: score of the hours until dry (CRPS) and share inside 80 % ranges, forecast from the plan and
 * once the work is done, by four mechanisms, twenty jobs of each of twenty shops. Neither knows a drying check.
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

const nRecords = Number(process.argv[2] ?? 100);
const now = new Date('2026-01-05');
const nDraws = 400;
const mechanisms: Readonly<Record<string, (seed: number) => SimulatedShop>> = {
  lumps: (seed) => simulateShop('lumps', seed, nRecords),
  strips: (seed) => simulateShop('strips', seed, nRecords),
  sponge: (seed) => simulateSponge(seed, nRecords),
  patches: (seed) => simulatePatches(seed, nRecords),
};

for (const [name, simulate] of Object.entries(mechanisms)) {
  const [plan, after] = [
    { crps: 0, inside: 0 },
    { crps: 0, inside: 0 },
  ];
  let n = 0;
  for (let seed = 301; seed < 321; seed++) {
    const shop = simulate(seed);
    const result = fitShop({ ...shop, now });
    if (result.status !== 'fitted') throw new Error(`${name} ${seed} was not fitted`);
    for (let i = 0; i < 20; i++) {
      const { planned, outcome, record } = shop.plan(i);
      const unchecked = { ...record, drying: { ...record.drying, checks: [] } };
      const forecast = dryingAfterWork(result.fit, unchecked, shop);
      if (forecast === undefined) continue;
      n += 1;
      const drawn = simulateJob(result.fit, plannedWork(result.fit, planned, { ...shop, now }), nDraws).dryHours;
      score(plan, drawn.slice().sort(), outcome.dryingHours);
      score(
        after,
        Float64Array.from({ length: nDraws }, (_, k) => forecast.quantile((k + 0.5) / nDraws)),
        outcome.dryingHours,
      );
    }
  }
  const share = ({ inside }: typeof plan) => `${Math.round((100 * inside) / n)} %`;
  const change = (100 * (after.crps / plan.crps - 1)).toFixed(1);
  console.log(
    `${name}: CRPS ${change} % against the plan's; inside 80 %: ${share(plan)} by the plan, ${share(after)} after`,
  );
}

function score(sums: { crps: number; inside: number }, sorted: Float64Array, y: number): void {
  sums.crps += crpsOfSorted(sorted, y);
  if (Math.abs(shareAtOrBelow(sorted, y) - 0.5) <= 0.4) sums.inside += 1;
}
