import { createRandom } from '../../../seed/random.ts';
import { drawSetting } from './job-mix.ts';
import { lumps } from './lumps.ts';
import { strips } from './strips.ts';
import type {
  JobSetting,
  Mechanism,
  MechanismKind,
  Outcome,
  Person,
  PlannedCase,
  ShopCharacter,
  SimulatedShop,
  SimulationOptions,
  Tool,
} from './types.ts';
import { writeRecord } from './write-record.ts';

/**
 * A shop whose truth is known: records of a year for the fit, jobs of the month after it for the forecast, and for each of
 * these an oracle that draws from its true distribution. Neither mechanism is the regression models nor the demonstration's.
 */
export function simulateShop(
  kind: MechanismKind,
  seed: number,
  nJobs: number,
  options: SimulationOptions = {},
): SimulatedShop {
  const mechanism: Mechanism = { lumps, strips }[kind];
  const people = drawPeople(seed, options);
  const tools = drawTools(seed);
  const character = drawCharacter(seed);
  const settingAt = (index: number, startHour: number): JobSetting =>
    drawSetting({ people, tools, character, startHour, options }, createRandom(seed, 3 * index + 10));
  const come = (setting: JobSetting, index: number, ref: string) => {
    const outcome = mechanism(setting, createRandom(seed, 3 * index + 11));
    return { outcome, record: writeRecord(setting, outcome, ref, options, createRandom(seed, 3 * index + 12)) };
  };
  const settingOf = (i: number) => settingAt(i, recordHour(i, nJobs));
  const past = Array.from({ length: nJobs }, (_, i) => come(settingOf(i), i, `S-${i + 1}`));
  return {
    technicians: people.map(({ key }) => ({ key, name: `${key} (invented)` })),
    machines: tools.map(({ key, grade }) => ({ key, name: `${key} (invented)`, kind: 'extractor', grade })),
    records: past.map(({ record }) => record),
    outcomes: past.map(({ outcome }) => outcome),
    truth: { people, tools, character },
    withTool: (i, key, random) => {
      const setting = settingOf(i);
      return setting.tool && mechanism({ ...setting, tool: tools.find((tool) => tool.key === key) }, random);
    },
    plan: (i): PlannedCase => {
      const index = 1_000_000 + i;
      const setting = settingAt(index, firstPlannedHour + 24 * (i % 28) + 9);
      const draw = (random: ReturnType<typeof createRandom>): Outcome => mechanism(setting, random);
      return { planned: setting.planned, draw, ...come(setting, index, `P-${i + 1}`) };
    },
  };
}

/** People differ in pace, water, dry passes, eye and what they do about drying. */
function drawPeople(seed: number, { nTechnicians = 5, overWet, wetSpread = 0.1 }: SimulationOptions): Person[] {
  const random = createRandom(seed, 1);
  return Array.from({ length: nTechnicians }, (_, i) => {
    const own = {
      key: `tech-${i + 1}`,
      pace: random.spread(0.07),
      wet: random.spread(wetSpread),
      dryRatio: random.between(0.7, 1.5),
      eye: random.spread(0.08),
      dryingHabit: random.spread(0.08),
    };
    return overWet?.technician === i ? { ...own, wet: overWet.factor } : own;
  });
}

function drawTools(seed: number): Tool[] {
  const random = createRandom(seed, 2);
  return grades.map(({ key, grade, passes, time, water }) => ({
    key,
    grade,
    passes: passes * random.spread(0.06),
    time: time * random.spread(0.03),
    water: water * random.spread(0.1),
  }));
}

/** How far a shop lies from the rules of thumb: about as far as the rules themselves admit. */
function drawCharacter(seed: number): ShopCharacter {
  const random = createRandom(seed, 3);
  return {
    soil: random.spread(0.12),
    time: random.spread(0.12),
    water: random.spread(0.3),
    drying: random.spread(0.3),
  };
}

function recordHour(i: number, nJobs: number): number {
  return firstPlannedHour - 24 * (365 - Math.floor((364 * i) / nJobs)) + 9;
}

const firstPlannedHour = Date.parse('2026-01-05T00:00:00Z') / 3_600_000;
const grades = [
  { key: 'entry-1', grade: 'entry', passes: 1.18, time: 1.03, water: 1.25 },
  { key: 'standard-1', grade: 'standard', passes: 1, time: 1, water: 1 },
  { key: 'high-1', grade: 'high', passes: 0.76, time: 0.97, water: 0.75 },
] as const;
