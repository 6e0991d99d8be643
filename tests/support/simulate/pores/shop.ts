import { createRandom, type Random } from '../../../../seed/random.ts';
import type { DryingAid } from '../../../../src/domain/vocabulary.ts';
import type { SimulatedShop } from '../types.ts';
import { type Kind, kinds, kindWeights, waysOf } from './kinds.ts';
import { writeDown } from './papers.ts';
import { planJob } from './plan.ts';
import type { Extractor, Hand, Ways } from './types.ts';
import { carryOut } from './work.ts';

/** What the shop writes down, shares of the jobs, and how it dries. */
export interface Habits {
  readonly litres: number;
  readonly tankStep: 1 | 0.5 | 0.1;
  readonly checked: number;
  readonly looks: Readonly<Record<'often' | 'promised' | 'morning' | 'dry-alone', number>>;
  readonly air: number;
  readonly surfaces: number;
  readonly brushes: number;
  readonly dryPasses: number;
  readonly plansDry: number;
  readonly mixes: number;
  readonly lastRound: number;
  readonly aids: Readonly<Record<DryingAid, number>>;
}

export interface Shop {
  readonly kind: Kind;
  readonly ways: Ways;
  readonly hands: readonly Hand[];
  readonly tools: readonly Extractor[];
  readonly habits: Habits;
  carpet(random: Random): 'loop-carpet' | 'cut-pile';
}

/** An invented shop whose cloth is pores and whose soil is grains; the same seed gives the same shop. */
export function simulatePores(seed: number, nJobs: number): SimulatedShop {
  const random = createRandom(seed, 7001);
  const shop = openShop(random);
  const perDay = 0.5 + 0.75 * shop.hands.length ** 0.8;
  const lastDay = Math.floor(random.between(Date.UTC(2025, 2, 1), Date.UTC(2025, 10, 25)) / 86_400_000);
  const startOf = (day: number, chance: Random) => 24 * day + 8 + Math.round(28 * chance.uniform()) / 4;
  const record = Array.from({ length: nJobs }, (_, i) => {
    const chance = createRandom(seed, 10_000 + i);
    const setting = planJob(shop, startOf(lastDay - Math.floor((nJobs - 1 - i) / perDay), chance), chance);
    const work = carryOut(setting, chance);
    return { setting, work, paper: writeDown(`J${i + 1}`, setting, work, shop.habits, chance) };
  });
  const { ways } = shop;
  return {
    technicians: shop.hands.map(({ key }, i) => ({ key, name: `Technician ${i + 1}` })),
    machines: shop.tools.map(({ key, grade, liftKpa, airM3h, heated }, i) => {
      const said =
        i % 2 === 0 ? { waterLiftKpa: Math.round(liftKpa), airflowM3h: 10 * Math.round(airM3h / 10), heated } : {};
      return { key, name: `Extractor ${i + 1}`, kind: 'extractor' as const, grade, ...said };
    }),
    records: record.map(({ paper }) => paper),
    outcomes: record.map(({ work }) => work),
    truth: {
      people: shop.hands,
      tools: shop.tools,
      character: { soil: Math.exp(ways.soil.moderate), time: ways.tempo, water: ways.foam, drying: 1 / ways.wick },
    },
    withTool: (i, key, chance) => {
      const { setting } = record[i];
      const tool = shop.tools.find((one) => one.key === key);
      if (!setting.tool || !tool) return undefined;
      return carryOut({ ...setting, tool }, chance);
    },
    plan: (i) => {
      const chance = createRandom(seed, 1_000_000 + i);
      const setting = planJob(shop, startOf(lastDay + 1 + (i % 28), chance), chance);
      const outcome = carryOut(setting, chance);
      const paper = writeDown(`P${i + 1}`, setting, outcome, shop.habits, chance);
      return { planned: setting.planned, outcome, record: paper, draw: (other) => carryOut(setting, other) };
    },
  };
}

function openShop(random: Random): Shop {
  const kind: Kind = kinds[random.pick(kindWeights)];
  const count = ([least, most]: readonly [number, number]) => Math.floor(random.between(least, most + 1));
  const loops = random.uniform();
  return {
    kind,
    ways: waysOf(kind, random),
    hands: Array.from({ length: count(kind.people) }, (_, i) => hire(i, random)),
    tools: Array.from({ length: count(kind.machines) }, (_, i) => buy(i, random)),
    habits: habitsOf(random),
    carpet: (chance) => (chance.chance(loops) ? 'loop-carpet' : 'cut-pile'),
  };
}

function hire(i: number, random: Random): Hand {
  const trigger = random.spread(0.16);
  const seal = random.spread(0.1);
  return {
    key: `t${i + 1}`,
    trigger,
    seal,
    dwell: random.spread(0.13),
    pace: random.spread(0.06),
    wet: trigger / seal,
    dryRatio: random.between(0.6, 1.5),
    lenience: 0.13 * random.normal(),
    eye: 1,
    sight: random.between(0.05, 0.2),
    oneMore: 0.15 * random.uniform() ** 2,
    dryingHabit: random.spread(0.2),
    care: random.uniform(),
  };
}

function buy(i: number, random: Random): Extractor {
  const grade = random.pick({ entry: 1, standard: 2.2, high: 1 });
  const [lift, air, flush, time] = {
    entry: [14, 120, 0.85, 1.04],
    standard: [22, 160, 1, 1],
    high: [31, 200, 1.33, 0.96],
  }[grade];
  const [flushed, timed, pulled] = [flush * random.spread(0.09), time * random.spread(0.05), random.spread(0.13)];
  return {
    key: `e${i + 1}`,
    grade,
    liftKpa: lift * pulled,
    airM3h: air * random.spread(0.12),
    flush: flushed,
    heated: random.chance(grade === 'high' ? 0.7 : 0.25),
    passes: 1 / flushed,
    time: timed,
    water: (22 / (lift * pulled)) ** 0.6,
  };
}

function habitsOf(random: Random): Habits {
  const some = (power: number) => random.uniform() ** power;
  const tankStep = { whole: 1, half: 0.5, tenth: 0.1 } as const;
  return {
    litres: random.chance(0.12) ? 0 : some(0.7),
    tankStep: tankStep[random.pick({ whole: 1, half: 2, tenth: 1 })],
    checked: random.chance(0.12) ? 0 : some(0.7),
    looks: { often: some(1), promised: 0.6 * some(1), morning: 0.8 * some(1), 'dry-alone': 0.6 * some(2) },
    air: some(1),
    surfaces: random.chance(0.4) ? 0 : some(1),
    brushes: some(0.7),
    dryPasses: some(0.6),
    plansDry: 0.4 * some(2),
    mixes: some(1),
    lastRound: some(1),
    aids: {
      'still-air': 0.4 + some(1),
      'open-doors': 0.6 + 2 * some(1),
      fan: 2 * some(1),
      dehumidifier: some(3),
      'warm-room': some(3),
      sun: 0.6 * some(2),
    },
  };
}
