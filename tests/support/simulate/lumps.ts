import type { Random } from '../../../seed/random.ts';
import type { PlannedSection } from '../../../src/domain/planned.ts';
import type { Fabric, Soil } from '../../../src/domain/vocabulary.ts';
import { evaporationRate } from './air.ts';
import type { JobSetting, Outcome, SectionOutcome } from './types.ts';

/**
 * Mechanism of products and lumps: soil spread over the cloth goes with gamma-distributed effort, beside it stubborn lumps that
 * each let go at a pass with a fixed chance; water and drying are products of factors with gamma noise, water bent at saturation.
 */
export function lumps(setting: JobSetting, random: Random): Outcome {
  const { planned, character } = setting;
  const jobWater = random.gamma(1 / 0.18 ** 2);
  const sections = planned.sections.map((section) => workSection(section, setting, jobWater, random));
  const left = (keep: (section: PlannedSection) => boolean) =>
    planned.sections.reduce(
      (sum, section, i) => sum + (keep(section) ? surfaceOf(section) * sections[i].leftPerM2 : 0),
      0,
    );
  const extractedLeftLitres = left(({ method }) => method !== 'spot');
  const sprayedLitres = extractedLeftLitres / random.between(0.09, 0.16);
  const rate = evaporationRate(planned.drying);
  const drying = character.drying * 1.15 * setting.person.dryingHabit * random.gamma(1 / 0.24 ** 2);
  const dryingTimes = planned.sections.map(
    ({ fabric }, i) => slowness[fabric] * (sections[i].leftPerM2 / rate) ** 0.95,
  );
  return {
    sections,
    hours: labourMinutes(setting, sections, random) / 60,
    sprayedLitres,
    recoveredLitres: sprayedLitres - extractedLeftLitres,
    extractedLeftLitres,
    leftLitres: left(() => true),
    wettestPerM2: Math.max(...sections.map(({ leftPerM2 }) => leftPerM2)),
    dryingHours: drying * Math.max(...dryingTimes.map((hours) => hours * random.spread(0.1))),
  };
}

function workSection(section: PlannedSection, setting: JobSetting, jobWater: number, random: Random): SectionOutcome {
  const needed = Math.max(spreadSoil(section, setting, random), lumpPasses(section, random));
  let made = 1;
  while (made < needed && !random.chance(givingUp[Math.min(made, givingUp.length) - 1])) made += 1;
  const dryPasses =
    section.method === 'spot' ? 0 : Math.round(made * setting.person.dryRatio * random.between(0.7, 1.3));
  return {
    needed,
    made,
    clean: made === needed,
    dryPasses,
    leftPerM2: water(section, setting, made, dryPasses, jobWater, random),
  };
}

function spreadSoil(section: PlannedSection, { character, person, tool }: JobSetting, random: Random): number {
  const { method, fabric, brush = 'soft' } = section;
  const machine = method === 'spot' ? 0.75 : (tool?.passes ?? 1) * (method === 'spot-then-extraction' ? 0.93 : 1);
  // a strong machine gains most on pile: an interaction that no model here has
  const pile = tool?.grade === 'high' && holding[fabric] > 1.05 ? 0.95 : 1;
  const brushed = { none: 1.08, soft: 1, medium: 0.96, stiff: 0.93 }[brush];
  const effort = 1.42 * character.soil * soilLoad[section.soil] * holding[fabric] * machine * pile * brushed;
  return Math.max(1, Math.ceil((effort / person.eye) * random.gamma(9)));
}

function lumpPasses(section: PlannedSection, random: Random): number {
  let most = 0;
  for (let n = random.poisson(0.05 + 0.22 * section.stains.length); n > 0; n -= 1) {
    let passes = 1;
    while (passes < 12 && !random.chance(section.stains.includes('dye') ? 0.4 : 0.55)) passes += 1;
    most = Math.max(most, passes);
  }
  return most;
}

function water(
  section: PlannedSection,
  setting: JobSetting,
  made: number,
  dryPasses: number,
  jobWater: number,
  random: Random,
): number {
  const { character, person, tool } = setting;
  const own = jobWater * random.spread(0.13) * character.water * person.wet;
  if (section.method === 'spot') return 0.1 * own * made ** 0.4;
  const raw =
    0.37 * own * soaking[section.fabric] * (tool?.water ?? 1) * (made / 2) ** 0.55 * 0.83 ** (dryPasses / made - 1);
  return 2.5 * (1 - Math.exp(-raw / 2.5));
}

function labourMinutes(
  { planned, person, mate, tool, character }: JobSetting,
  sections: readonly SectionOutcome[],
  random: Random,
): number {
  let minutes = 27 * random.gamma(30);
  planned.sections.forEach((section, i) => {
    const m2 = surfaceOf(section);
    const perPass = section.method === 'spot' ? 4.2 : 8.3 * (tool?.time ?? 1);
    const byHand =
      { light: 7, moderate: 8.5, heavy: 11, severe: 14 }[section.soil] * (section.method === 'spot' ? 0.45 : 1);
    minutes += (6 + m2 * (byHand + perPass * sections[i].made)) * random.gamma(110);
    const seat = section.area === 'front-seat' || section.area === 'rear-bench';
    if (seat && planned.seatsRemoved) minutes += 20 * section.count * random.gamma(35);
  });
  const together = mate ? 1.05 * Math.sqrt(mate.pace / person.pace) : 1;
  const worked = minutes * person.pace * together * character.time * random.spread(0.06);
  return worked + (random.chance(0.1) ? 16 * random.gamma(1.5) : 0);
}

const surfaceOf = (section: PlannedSection) => section.surfaceM2 ?? Number.NaN;

const givingUp = [0.01, 0.02, 0.06, 0.18, 0.3, 0.4, 0.5];
const soilLoad: Readonly<Record<Soil, number>> = { light: 0.58, moderate: 1, heavy: 1.48, severe: 2.1 };
const holding: Readonly<Record<Fabric, number>> = {
  'flat-woven': 1,
  knit: 0.99,
  velour: 1.09,
  'suede-like': 1.08,
  'loop-carpet': 1.07,
  'cut-pile': 1.13,
  headlining: 0.9,
};
const soaking: Readonly<Record<Fabric, number>> = {
  'flat-woven': 1,
  knit: 1.08,
  velour: 1.2,
  'suede-like': 0.88,
  'loop-carpet': 1.18,
  'cut-pile': 1.32,
  headlining: 0.5,
};
const slowness: Readonly<Record<Fabric, number>> = {
  'flat-woven': 1,
  knit: 1.02,
  velour: 1.12,
  'suede-like': 1.05,
  'loop-carpet': 1.2,
  'cut-pile': 1.3,
  headlining: 0.85,
};
