/**
 * What one slip of the pen does: by how much it moves quotes, water left in and hours until dry of six plans, the worst over two records each
 * of a few shops of a hundred jobs by every mechanism; beside it what losing the record altogether would do, and how often the program
 * refused the record or left it out, or listed it as odd.
 * Run: node --import tsx tests/bench/slips.ts [shops]
 */
import type { DryingCheck, FinishedJob } from '../../src/domain/record.ts';
import { finishedJob } from '../../src/domain/record.ts';
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import { estimateJob } from '../../src/models/estimate.ts';
import { fitShop } from '../../src/models/fit.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';
import { simulatePatches } from '../support/simulate/patches/shop.ts';
import { simulateShop } from '../support/simulate/shop.ts';
import { simulateSponge } from '../support/simulate/sponge-shop.ts';
import type { SimulatedShop } from '../support/simulate/types.ts';
import { simulateZones } from '../support/simulate/zones/shop.ts';

const nShops = Number(process.argv[2] ?? 3);
const nJobs = 100;
const nPlans = 6;
const now = new Date('2026-01-05');
const mechanisms: Readonly<Record<string, (seed: number, n: number) => SimulatedShop>> = {
  lumps: (seed, n) => simulateShop('lumps', seed, n),
  strips: (seed, n) => simulateShop('strips', seed, n),
  sponge: simulateSponge,
  patches: simulatePatches,
  zones: simulateZones,
};

type Slip = (record: FinishedJob) => FinishedJob;
type Section = FinishedJob['sections'][number];

const times = (x: number | undefined, factor: number) => (x === undefined ? undefined : x * factor);
const minutes =
  (factor: number): Slip =>
  (record) => ({ ...record, labour: record.labour.map((one) => ({ ...one, minutes: one.minutes * factor })) });
const sprayed =
  (factor: number): Slip =>
  (record) => ({ ...record, sprayedLitres: times(record.sprayedLitres, factor) });
const recovered =
  (factor: number): Slip =>
  (record) => ({ ...record, recoveredLitres: times(record.recoveredLitres, factor) });
const bothTanks =
  (factor: number): Slip =>
  (record) =>
    recovered(factor)(sprayed(factor)(record));
const checks =
  (change: (check: DryingCheck) => DryingCheck): Slip =>
  (record) => ({ ...record, drying: record.drying && { ...record.drying, checks: record.drying.checks?.map(change) } });
const hours = (factor: number) => checks((check) => ({ ...check, hours: check.hours * factor }));
const air =
  (said: Partial<NonNullable<FinishedJob['drying']>>): Slip =>
  (record) => ({ ...record, drying: record.drying && { ...record.drying, ...said } });
const firstSection =
  (change: (section: Section) => Section): Slip =>
  (record) => ({ ...record, sections: record.sections.map((section, s) => (s === 0 ? change(section) : section)) });
const passes = (change: (n: number) => number) =>
  firstSection((section) => ({ ...section, wetPasses: change(section.wetPasses) }));
const surface = (factor: number) =>
  firstSection((section) => ({ ...section, surfaceM2: times(section.surfaceM2, factor) }));

const slips: Readonly<Record<string, Slip | undefined>> = {
  'the record lost': undefined,
  'minutes × 60': minutes(60),
  'minutes ÷ 60': minutes(1 / 60),
  'minutes × 10': minutes(10),
  'minutes ÷ 10': minutes(0.1),
  'sprayed × 10': sprayed(10),
  'sprayed ÷ 10': sprayed(0.1),
  'recovered × 10': recovered(10),
  'recovered ÷ 10': recovered(0.1),
  'both tanks × 10': bothTanks(10),
  'both tanks × 3.785 (gallons)': bothTanks(3.785),
  'hours of checks × 10': hours(10),
  'hours of checks ÷ 10': hours(0.1),
  'hours of checks ÷ 60': hours(1 / 60),
  'wet for dry': checks((check) => ({ ...check, dry: !check.dry })),
  'ten passes more': passes((n) => n + 10),
  'passes × 11 (22 for 2)': passes((n) => 11 * n),
  'pieces × 10': firstSection((section) => ({ ...section, count: 10 * (section.count ?? 1) })),
  'surface × 10': surface(10),
  'surface × 3': surface(3),
  'surface ÷ 10': surface(0.1),
  '68 °C for 20': air({ airC: 68 }),
  '5 % humidity': air({ rhPercent: 5 }),
  'a year early': (record) => ({
    ...record,
    finishedAt: `${Number(record.finishedAt.slice(0, 4)) - 1}${record.finishedAt.slice(4)}`,
  }),
};

interface Moves {
  quote: number;
  water: number;
  dry: number;
  tried: number;
  found: number;
  odd: number;
}

const moves = new Map(
  Object.keys(slips).map((name) => [name, { quote: 0, water: 0, dry: 0, tried: 0, found: 0, odd: 0 } satisfies Moves]),
);

for (const [mechanism, simulate] of Object.entries(mechanisms)) {
  for (let seed = 1; seed <= nShops; seed++) {
    const shop = simulate(seed, nJobs);
    const fit = fitted(shop, shop.records);
    const plans = Array.from({ length: nPlans }, (_, i) => shop.plan(i).planned);
    const answers = (of: ShopFit) => plans.map((plan) => answer(of, shop, plan));
    const before = answers(fit);
    for (const at of measured(shop.records))
      for (const [name, slip] of Object.entries(slips)) {
        const sum = moves.get(name);
        if (sum === undefined) throw new Error(name);
        const record = shop.records[at];
        const wrong = slip?.(record);
        if (wrong !== undefined && JSON.stringify(wrong) === JSON.stringify(record)) continue;
        sum.tried += 1;
        if (wrong !== undefined && !finishedJob.safeParse(wrong).success) {
          sum.found += 1;
          continue;
        }
        const after = fitted(
          shop,
          shop.records.flatMap((one, i) => (i !== at ? one : (wrong ?? []))),
        );
        const isAmong = (list: readonly { readonly ref: string }[]) => list.some(({ ref }) => ref === record.ref);
        const models = Object.values(after.models);
        if (models.some(({ leftOut }) => isAmong(leftOut))) sum.found += 1;
        else if (models.some(({ odd }) => isAmong(odd))) sum.odd += 1;
        answers(after).forEach((now, p) => {
          sum.quote = Math.max(sum.quote, moved(now.quote, before[p].quote));
          sum.water = Math.max(sum.water, moved(now.water, before[p].water));
          sum.dry = Math.max(sum.dry, moved(now.dry, before[p].dry));
        });
      }
    console.error(`${mechanism} ${seed}`);
  }
}

console.log(
  '| slip | quote | water | hours until dry | refused or left out | read, told as odd |\n|---|---|---|---|---|---|',
);
const percent = (x: number) => `${Math.round(100 * x)} %`;
for (const [name, { quote, water, dry, tried, found, odd }] of moves)
  console.log(`| ${name} | ${percent(quote)} | ${percent(water)} | ${percent(dry)} | ${found} of ${tried} | ${odd} |`);

function fitted(shop: SimulatedShop, records: readonly FinishedJob[]): ShopFit {
  const { technicians, machines } = shop;
  const result = fitShop({ records, technicians, machines, now });
  if (result.status !== 'fitted') throw new Error(JSON.stringify(result.failures));
  return result.fit;
}

/** The first record with litres and checks, and the last. */
function measured(records: readonly FinishedJob[]): readonly number[] {
  const all = records.flatMap(({ sprayedLitres, drying }, i) =>
    sprayedLitres !== undefined && (drying?.checks ?? []).length > 0 ? [i] : [],
  );
  return [all[0], all[all.length - 1]];
}

function answer(fit: ShopFit, { technicians, machines }: SimulatedShop, plan: Parameters<typeof estimateJob>[1]) {
  const lists = { technicians, machines };
  const about = { now, timeZone: 'Etc/UTC', settings: defaultShopSettings, ...lists };
  const { quote, waterLPerM2, dryHours } = estimateJob(fit, plan, about);
  return { quote: quote.hours, water: waterLPerM2.p50, dry: dryHours.p80 };
}

function moved(now: number, before: number): number {
  return Math.abs(now / before - 1);
}
