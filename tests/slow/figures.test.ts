import { describe, expect, it } from 'vitest';
import { createRandom } from '../../seed/random.ts';
import { crpsOfSorted, shareAtOrBelow } from '../../src/inference/scores-ensemble.ts';
import { plannedWork } from '../../src/models/estimate/planned-work.ts';
import { type JobDraws, simulateJob } from '../../src/models/estimate/simulate-job.ts';
import { fitShop } from '../../src/models/fit.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { simulatePatches } from '../support/simulate/patches/shop.ts';
import { simulatePores } from '../support/simulate/pores/shop.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { simulateSponge } from '../support/simulate/sponge-shop.ts';
import type { Outcome, PlannedCase, SimulatedShop } from '../support/simulate/types.ts';
import { simulateZones } from '../support/simulate/zones/shop.ts';

// Invented shops by mechanisms that are not the models, jobs of the month after their records, scored on what truly came,
// against the rule of thumb and against the oracle that draws from the true distribution of each job.
// The sponge, the patches, the zones and the pores were written from the trade's description alone, by people who had seen neither the models nor the others.
const seedsFrom301 = (n: number) => Array.from({ length: n }, (_, i) => 301 + i);
const families: readonly Family[] = [
  {
    name: 'lumps and strips',
    jobsPerShop: 20,
    shops: (['lumps', 'strips'] as const).flatMap((kind) =>
      seedsFrom301(15).map((seed) => ({ seed, simulate: (nJobs: number) => simulateShop(kind, seed, nJobs) })),
    ),
  },
  {
    name: 'sponge',
    jobsPerShop: 10,
    shops: seedsFrom301(60).map((seed) => ({ seed, simulate: (nJobs: number) => simulateSponge(seed, nJobs) })),
  },
  {
    name: 'patches',
    jobsPerShop: 10,
    shops: seedsFrom301(60).map((seed) => ({ seed, simulate: (nJobs: number) => simulatePatches(seed, nJobs) })),
  },
  {
    name: 'zones',
    jobsPerShop: 10,
    shops: seedsFrom301(60).map((seed) => ({ seed, simulate: (nJobs: number) => simulateZones(seed, nJobs) })),
  },
  {
    name: 'pores',
    jobsPerShop: 10,
    shops: seedsFrom301(60).map((seed) => ({ seed, simulate: (nJobs: number) => simulatePores(seed, nJobs) })),
  },
];
/** As many as an estimate draws: of fewer, every job gets the same few, and what their sample lacks is lacking in all. */
const nDraws = 4000;
const oracleDraws = 400;
const now = new Date('2026-01-05');

/** How each figure is read from our draws and from a true outcome. */
const figures = {
  labour: { ours: ({ labourHours }: JobDraws) => labourHours, truth: ({ hours }: Outcome) => hours },
  water: { ours: ({ wettestLPerM2 }: JobDraws) => wettestLPerM2, truth: ({ wettestPerM2 }: Outcome) => wettestPerM2 },
  drying: { ours: ({ dryHours }: JobDraws) => dryHours, truth: ({ dryingHours }: Outcome) => dryingHours },
  passes: {
    ours: ({ passes }: JobDraws) => Float64Array.from(passes[0].made),
    truth: ({ sections }: Outcome) => sections[0].made,
  },
} as const;
const names = ['labour', 'water', 'drying', 'passes'] as const;
type Name = (typeof names)[number];

interface Family {
  readonly name: string;
  readonly jobsPerShop: number;
  readonly shops: readonly { readonly seed: number; simulate(nJobs: number): SimulatedShop }[];
}

interface Sums {
  n: number;
  ours: number;
  rule: number;
  oracle: number;
  inside80: number;
  inside90: number;
}

/** The CRPS of whole numbers is the ranked probability score, so one score serves all four. */
const bars: Readonly<Record<number, Readonly<Record<Name, number>>>> = {
  25: { labour: 1.4, water: 1.75, drying: 1.7, passes: 1.27 },
  100: { labour: 1.25, water: 1.55, drying: 1.6, passes: 1.15 },
  400: { labour: 1.2, water: 1.45, drying: 1.45, passes: 1.12 },
};
const gainBars: Readonly<Record<Name, number>> = {
  labour: 0.18,
  water: 0.35,
  drying: 0.35,
  passes: 0.18,
};

/** Where a bar is not reached yet; such a test fails once it is, and is then to be taken off this list. */
const missed = [
  // With no records the rules allow shops more variety of water (log sd 0.45) than these have; it wears off by 100 jobs.
  'lumps and strips 25 water coverage',
  // The oracle itself gains 35.0 % of water, and 50 % of drying.
  'lumps and strips 100 water gain',
  'lumps and strips 400 water gain',
  'sponge 100 drying gain',
  // Floors and the drying lie farther from the rules of thumb here than their spreads allow for; DEVELOPERS.md tells where.
  'patches 25 water coverage',
  'patches 25 water score',
  'patches 25 drying coverage',
  'patches 25 drying score',
  'patches 100 drying gain',
  'patches 400 drying gain',
  // Tanks tell a fifth of a litre more than stays in the cloth there, which takes hundreds of jobs to learn; hours spread less than the rules allow.
  'zones 25 labour coverage',
  'zones 25 labour score',
  'zones 25 water coverage',
  'zones 25 water score',
  'zones 25 drying score',
  'zones 100 labour coverage',
  'zones 100 water coverage',
  'zones 100 water score',
  'zones 100 passes gain',
  'zones 400 labour coverage',
  'zones 400 water coverage',
  'zones 400 water score',
  'zones 400 passes gain',
  // Water differs less from shop to shop, and from section to section, than the rules allow; dry rooms are damper than the plan can say.
  'pores 25 water coverage',
  'pores 100 water coverage',
  'pores 400 water coverage',
  'pores 100 labour gain',
  'pores 100 water gain',
  'pores 100 drying gain',
  'pores 400 drying gain',
];
for (const [nJobs, family] of [25, 100, 400].flatMap((n) => families.map((one) => [n, one] as const)))
  describe(`recovery: forecasts of simulated shops of ${family.name} with ${nJobs} jobs`, () => {
    const sums = scored(nJobs, family);
    const test = (figure: string) => (missed.includes(`${family.name} ${nJobs} ${figure}`) ? it.fails : it);
    for (const name of names) {
      const { n, ours, rule, oracle, inside80, inside90 } = sums[name];
      console.log(`${family.name}, ${line(nJobs, name, sums[name])}`);

      if (name !== 'passes')
        test(`${name} coverage`)(`${name}: ranges hold as often as they say`, () => {
          const [low80, high80, low90, high90] = name === 'drying' ? [0.76, 0.9, 0.87, 0.97] : [0.76, 0.84, 0.87, 0.93];
          expect(inside80 / n).toBeGreaterThanOrEqual(low80);
          expect(inside80 / n).toBeLessThanOrEqual(high80);
          expect(inside90 / n).toBeGreaterThanOrEqual(low90);
          expect(inside90 / n).toBeLessThanOrEqual(high90);
        });

      test(`${name} score`)(`${name}: not much further off than the oracle`, () => {
        expect(ours / oracle).toBeLessThanOrEqual(bars[nJobs][name]);
      });

      // Where the oracle itself gains less there is no such gain to be had: these shops lie near the rule of thumb there.
      const isThere = nJobs >= 100 && 1 - oracle / rule >= gainBars[name];
      if (isThere)
        test(`${name} gain`)(`${name}: less off than the rule of thumb`, () => {
          expect(1 - ours / rule).toBeGreaterThanOrEqual(gainBars[name]);
        });
    }
  });

function scored(nJobs: number, { shops, jobsPerShop }: Family): Record<Name, Sums> {
  const zero = (): Sums => ({ n: 0, ours: 0, rule: 0, oracle: 0, inside80: 0, inside90: 0 });
  const sums = { labour: zero(), water: zero(), drying: zero(), passes: zero() };
  for (const { seed, simulate } of shops) {
    const shop = simulate(nJobs);
    const [fit, rule] = [fitOf(shop, shop.records), fitOf(shop, [])];
    for (let i = 0; i < jobsPerShop; i++) addCase(sums, shop, fit, rule, shop.plan(i), createRandom(seed, i));
  }
  return sums;
}

function addCase(
  sums: Record<Name, Sums>,
  shop: SimulatedShop,
  fit: ShopFit,
  rule: ShopFit,
  { planned, outcome, draw }: PlannedCase,
  random: ReturnType<typeof createRandom>,
): void {
  const context = { ...shop, now };
  const own = simulateJob(fit, plannedWork(fit, planned, context), nDraws);
  const byRule = simulateJob(rule, plannedWork(rule, planned, context), nDraws);
  const true_ = Array.from({ length: oracleDraws }, () => draw(random));
  for (const name of names) {
    const { ours, truth } = figures[name];
    const y = truth(outcome);
    const sorted = ours(own).slice().sort();
    const at = shareAtOrBelow(sorted, y);
    const to = sums[name];
    to.n += 1;
    to.ours += crpsOfSorted(sorted, y);
    to.rule += crpsOfSorted(ours(byRule).slice().sort(), y);
    to.oracle += crpsOfSorted(Float64Array.from(true_, truth).sort(), y);
    to.inside80 += Math.abs(at - 0.5) <= 0.4 ? 1 : 0;
    to.inside90 += Math.abs(at - 0.5) <= 0.45 ? 1 : 0;
  }
}

function fitOf({ technicians, machines }: SimulatedShop, records: SimulatedShop['records']): ShopFit {
  const result = fitShop({ records, technicians, machines, now });
  if (result.status !== 'fitted') throw new Error(result.failures.map(({ message }) => message).join());
  return result.fit;
}

function line(nJobs: number, name: Name, { n, ours, rule, oracle, inside80, inside90 }: Sums): string {
  const share = (part: number) => `${((100 * part) / n).toFixed(1)} %`;
  const coverage = name === 'passes' ? '' : `, inside 80 % ${share(inside80)}, 90 % ${share(inside90)}`;
  return `${nJobs} jobs, ${name}: CRPS ${(ours / oracle).toFixed(3)} × oracle, ${(100 * (1 - ours / rule)).toFixed(1)} % below rule of thumb (oracle ${(100 * (1 - oracle / rule)).toFixed(1)} %)${coverage}`;
}
