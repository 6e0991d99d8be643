import { createRandom, type Random } from '../../../seed/random.ts';
import type { Machine } from '../../../src/domain/lists.ts';
import { type SpongeSetting, sponge, type Worker } from './sponge.ts';
import type { Bay } from './sponge-air.ts';
import { drawSpongeJob } from './sponge-mix.ts';
import { writeSpongeRecord } from './sponge-papers.ts';
import type { Outcome, PlannedCase, ShopCharacter, SimulatedShop, SimulationOptions, Tool } from './types.ts';

/** All that stays the same in one shop. */
export interface SpongeShop {
  readonly people: readonly Worker[];
  readonly tools: readonly Tool[];
  readonly character: ShopCharacter;
  readonly bay: Bay;
  /** Degrees that the bay is warmer than the common one, all year. */
  readonly warmth: number;
  /** How dirty the vehicles are that come here. */
  readonly clientele: number;
  readonly options: SimulationOptions;
}

/** A shop of the sponge mechanism (see sponge.ts): its own people, habits, mix of jobs and papers, its year of records and the month after. */
export function simulateSponge(
  seed: number,
  nJobs: number,
  options: SimulationOptions = {},
): SimulatedShop & { readonly shop: SpongeShop; settingOf(index: number): SpongeSetting } {
  const shop = drawShop(seed, options);
  const settingAt = (index: number, startHour: number): SpongeSetting =>
    drawSpongeJob(shop, startHour, createRandom(seed, 3 * index + 10));
  const come = (setting: SpongeSetting, index: number, ref: string) => {
    const outcome = sponge(setting, createRandom(seed, 3 * index + 11));
    return { outcome, record: writeSpongeRecord(setting, outcome, ref, shop, createRandom(seed, 3 * index + 12)) };
  };
  const settingOf = (i: number) => settingAt(i, recordHour(i, nJobs));
  const past = Array.from({ length: nJobs }, (_, i) => come(settingOf(i), i, `G-${i + 1}`));
  return {
    shop,
    settingOf,
    technicians: shop.people.map(({ key }) => ({ key, name: `${key} (invented)` })),
    machines: shop.tools.map(({ key, grade }) => ({ key, name: `${key} (invented)`, kind: 'extractor', grade })),
    records: past.map(({ record }) => record),
    outcomes: past.map(({ outcome }) => outcome),
    truth: shop,
    withTool: (i, key, random) => {
      const setting = settingOf(i);
      return setting.tool && sponge({ ...setting, tool: shop.tools.find((tool) => tool.key === key) }, random);
    },
    plan: (i): PlannedCase => {
      const index = 1_000_000 + i;
      const setting = settingAt(index, firstPlannedHour + 24 * (i % 28) + 8 + (i % 3) * 2.5);
      const draw = (random: Random): Outcome => sponge(setting, random);
      return { planned: setting.planned, draw, ...come(setting, index, `H-${i + 1}`) };
    },
  };
}

function drawShop(seed: number, options: SimulationOptions): SpongeShop {
  const random = createRandom(seed, 1);
  const character = {
    soil: random.spread(0.1),
    time: random.spread(0.15),
    water: random.spread(0.25),
    drying: random.spread(0.2),
  };
  const bay = { fansStayOn: random.chance(0.6), nightDrop: random.between(0, 5) };
  const warmth = 1.5 * random.normal();
  const clientele = 0.25 * random.normal();
  return { character, bay, warmth, clientele, people: drawWorkers(seed, options), tools: drawTools(seed), options };
}

function drawWorkers(seed: number, { nTechnicians = 5, overWet, wetSpread = 0.12 }: SimulationOptions): Worker[] {
  const random = createRandom(seed, 2);
  return Array.from({ length: nTechnicians }, (_, i) => {
    const own = {
      key: `tech-${i + 1}`,
      pace: random.spread(0.1),
      wet: random.spread(wetSpread),
      // where people are to leave alike, they make as many dry passes too
      dryRatio: wetSpread === 0 ? 1 : random.between(0.5, 1.5),
      eye: random.spread(0.1),
      dryingHabit: 1,
      patience: random.pick({ 2: 1, 4: 4 }) === '2' ? 2 : 4,
      caution: random.between(0, 0.2),
      roundsTo: ({ one: 1, five: 5, quarter: 15 } as const)[random.pick({ one: 1, five: 4, quarter: 2 })],
      since: i === nTechnicians - 1 && overWet === undefined && nTechnicians > 3 ? random.between(0, 0.9) : 0,
    };
    return overWet?.technician === i ? { ...own, wet: overWet.factor } : own;
  });
}

function drawTools(seed: number): Tool[] {
  const random = createRandom(seed, 3);
  return machines.map(({ key, grade, passes, time, water }) => ({
    key,
    grade,
    passes: passes * random.spread(0.08),
    time: time * random.spread(0.05),
    water: water * random.spread(0.12),
  }));
}

/** Eight to half past one, more vehicles in spring than in winter. */
function recordHour(i: number, nJobs: number): number {
  const share = (i + 0.5) / nJobs;
  const day = Math.floor(365 * (share - (0.25 / (2 * Math.PI)) * Math.sin(2 * Math.PI * share)));
  return firstPlannedHour - 24 * (366 - day) + 8 + ((i * 7) % 12) / 2;
}

const firstPlannedHour = Date.parse('2026-01-05T00:00:00Z') / 3_600_000;
const machines: readonly { key: string; grade: Machine['grade']; passes: number; time: number; water: number }[] = [
  { key: 'grey-one', grade: 'entry', passes: 1.22, time: 1.05, water: 1.35 },
  { key: 'blue-one', grade: 'standard', passes: 1, time: 1, water: 1 },
  { key: 'big-one', grade: 'high', passes: 0.8, time: 0.92, water: 0.72 },
];
