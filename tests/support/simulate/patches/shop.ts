import { createRandom, type Random } from '../../../../seed/random.ts';
import type { Machine } from '../../../../src/domain/lists.ts';
import type { PlannedCase, ShopCharacter, SimulatedShop, SimulationOptions } from '../types.ts';
import { lastDay } from './calendar.ts';
import { drawShop, type PatchShop } from './habits.ts';
import { drawJob } from './mix.ts';
import { writeRecord } from './papers.ts';
import { patches } from './patches.ts';
import type { PatchSetting } from './visit.ts';

/** A shop of the patches mechanism (see patches.ts): records of as many days as jobs (at most a year) that end with 2025, and the January after. */
export function simulatePatches(
  seed: number,
  nJobs: number,
  options: SimulationOptions = {},
): SimulatedShop & { readonly shop: PatchShop; settingOf(index: number): PatchSetting } {
  const shop = drawShop(options, createRandom(seed, 1));
  const settings = Array.from({ length: nJobs }, (_, i) =>
    drawJob(shop, recordDay(i, nJobs), true, createRandom(seed, 5 * i + 20)),
  );
  const past = settings.map((setting, i) => come(setting, seed, i, `J${i + 1}`));
  return {
    shop,
    settingOf: (i) => settings[i],
    technicians: shop.hands.map(({ key }) => ({ key, name: `Invented ${key}` })),
    machines: machinesOf(shop),
    records: past.map(({ record }) => record),
    outcomes: past.map(({ outcome }) => outcome),
    truth: { people: shop.hands, tools: shop.engines, character: characterOf(shop) },
    withTool: (i, tool, random) => {
      const engine = shop.engines.find(({ key }) => key === tool);
      return settings[i].engine && engine ? patches({ ...settings[i], engine }, random) : undefined;
    },
    plan: (i) => planAt(shop, seed + planSeeds, i),
  };
}

/** A prime away, so that plans draw from streams of their own. */
const planSeeds = 7919;

/** A job of one of the first 27 days of January. */
function planAt(shop: PatchShop, seed: number, i: number): PlannedCase {
  const random = createRandom(seed, 5 * i + 20);
  const setting = drawJob(shop, lastDay + 24 * (1 + Math.floor(random.uniform() * 27)), false, random);
  const draw = (chance: Random) => patches(setting, chance);
  return { planned: setting.planned, draw, ...come(setting, seed, i, `P${i + 1}`) };
}

function come(setting: PatchSetting, seed: number, i: number, ref: string) {
  const outcome = patches(setting, createRandom(seed, 5 * i + 21));
  return { outcome, record: writeRecord(setting, outcome, ref, createRandom(seed, 5 * i + 22)) };
}

function recordDay(i: number, nJobs: number): number {
  const days = Math.min(360, nJobs);
  return lastDay - 24 * Math.ceil((days * (nJobs - i)) / nJobs);
}

function machinesOf({ engines }: PatchShop): Machine[] {
  return engines.map(({ key, grade, heated }) => ({ key, name: `Invented ${key}`, kind: 'extractor', grade, heated }));
}

/** What this shop is against the rules of thumb, as far as its own words have one number for it. */
function characterOf({ standard, pace, water, bay }: PatchShop): ShopCharacter {
  return { soil: 1 / standard, time: pace, water, drying: 1 / bay.draught };
}
