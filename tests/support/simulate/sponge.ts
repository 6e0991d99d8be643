import type { Random } from '../../../seed/random.ts';
import type { PlannedSection } from '../../../src/domain/planned.ts';
import { surfaceM2Of } from '../../../src/domain/surface.ts';
import type { Area, Fabric, Soil } from '../../../src/domain/vocabulary.ts';
import { type Bay, bayEvaporation, hoursToEvaporate } from './sponge-air.ts';
import type { JobSetting, Outcome, Person, SectionOutcome } from './types.ts';

/**
 * A shop's life written from the trade's description alone: soil that a pass takes a share of until the eye is content, cloth and foam as a
 * sponge that holds back what suction cannot reach, drying at a constant rate that falls once the surface is no longer wet, slower at night.
 */
export function sponge(setting: SpongeSetting, random: Random): Outcome {
  const { planned, person, mate, character } = setting;
  const day: Day = {
    dirt: 0.2 * random.normal(),
    hand: random.spread(0.1),
    /** A blocked hose, a bucket knocked over: seldom, and then both water and time suffer. */
    mishap: random.chance(0.02),
  };
  const worked = planned.sections.map((section) => workSection(section, setting, day, random));
  const extracted = worked.filter((_, i) => planned.sections[i].method !== 'spot');
  const sum = (values: readonly SectionWork[], of: (work: SectionWork) => number) =>
    values.reduce((total, work) => total + of(work), 0);
  const bench = sum(worked, ({ minutes }) => minutes) + aroundMinutes(setting);
  const pace = character.time * person.pace * (mate ? 0.5 + (0.5 * mate.pace) / person.pace : 1);
  const interruptions = Array.from({ length: random.poisson(0.4) }, () => -12 * Math.log(1 - random.uniform()));
  const minutes =
    bench * pace * random.spread(0.09) * (mate ? 1.06 : 1) * (day.mishap ? 1.5 : 1) +
    interruptions.reduce((total, more) => total + more, 0);
  const recoveredLitres = sum(extracted, ({ sprayed, left }) => sprayed - left);
  const extractedLeftLitres = sum(extracted, ({ left }) => left);
  const finishedHour = setting.startHour + minutes / 60 / planned.crew;
  const evaporation = bayEvaporation(setting, random);
  return {
    sections: worked.map(({ outcome }) => outcome),
    hours: minutes / 60,
    sprayedLitres: recoveredLitres + extractedLeftLitres,
    recoveredLitres,
    extractedLeftLitres,
    leftLitres: sum(worked, ({ left }) => left),
    wettestPerM2: Math.max(...worked.map(({ outcome }) => outcome.leftPerM2)),
    dryingHours: Math.max(
      0.2,
      ...planned.sections.map((section, i) =>
        hoursToEvaporate(
          toEvaporate(worked[i].outcome.leftPerM2, section) * random.spread(0.1),
          finishedHour,
          evaporation,
        ),
      ),
    ),
  };
}

/** A person and what is particular to them here. */
export interface Worker extends Person {
  /** Passes after which they think of leaving it, and how readily. */
  readonly patience: number;
  /** How often they make one pass more to be safe. */
  readonly caution: number;
  readonly roundsTo: 1 | 5 | 15;
  /** Share of the year gone by when they came. */
  readonly since: number;
}

export interface SpongeSetting extends JobSetting {
  readonly person: Worker;
  readonly mate: Worker | undefined;
  readonly bay: Bay;
}

interface Day {
  readonly dirt: number;
  readonly hand: number;
  readonly mishap: boolean;
}

interface SectionWork {
  readonly outcome: SectionOutcome;
  readonly minutes: number;
  readonly sprayed: number;
  readonly left: number;
}

function workSection(section: PlannedSection, setting: SpongeSetting, day: Day, random: Random): SectionWork {
  const { planned, person } = setting;
  const surface = surfaceM2Of(section, planned.bodyStyle);
  const passes = cleaning(section, setting, day, random);
  const isSpot = section.method === 'spot';
  const dryPasses = isSpot ? 0 : halfUp(person.dryRatio * passes.made, random);
  const water = isSpot
    ? dabbed(section, passes.made, setting, day, random)
    : extracted(section, passes.made, dryPasses, setting, day, random);
  const rounds = section.method === 'spot-then-extraction' ? 1.5 : 0;
  const toolTime = setting.tool?.time ?? 1;
  const perM2 = isSpot
    ? 4 + 7 * passes.made
    : 9 + 6 * rounds + toolTime * (8 * passes.made + 4 * dryPasses) + (section.brush === 'none' ? 0 : 3);
  return {
    outcome: { ...passes, dryPasses, leftPerM2: water.left },
    minutes: reach[section.area] * surface ** 0.9 * perM2 * random.spread(0.08),
    sprayed: water.sprayed * surface,
    left: water.left * surface,
  };
}

/** Passes until the soil that is left no longer shows; some leave it before. */
function cleaning(
  section: PlannedSection,
  { planned, person, tool, character }: SpongeSetting,
  { dirt }: Day,
  random: Random,
): Pick<SectionOutcome, 'needed' | 'made' | 'clean'> {
  const { solutionC = 40, dilution = 20, modelYear = 2016 } = planned;
  let load = soilLoad[section.soil] + dirt + 0.3 * random.normal();
  for (const stain of section.stains) load += (hardStains.has(stain) ? 0.7 : 0.3) * random.gamma(2);
  if (section.method === 'spot-then-extraction') load -= 0.5;
  const removal =
    ((0.85 * release[section.fabric]) / character.soil / (tool?.passes ?? 1.15)) *
    (1 + 0.006 * (solutionC - 40)) *
    (20 / dilution) ** 0.15 *
    (1 - 0.007 * Math.min(20, 2026 - modelYear)) *
    (section.brush === 'none' ? 0.88 : section.brush === 'stiff' ? 1.08 : 1);
  const content = Math.max(1, Math.ceil((load - Math.log(person.eye)) / removal));
  const needed = Math.min(11, content + (random.chance(person.caution) ? 1 : 0));
  let made = 1;
  while (made < needed && !(made >= person.patience && random.chance(0.3))) made += 1;
  return { needed, made, clean: made === needed };
}

/** L/m² put down and left after extraction: each pass adds what its own suction misses, each dry pass takes a share of what can move. */
function extracted(
  section: PlannedSection,
  wetPasses: number,
  dryPasses: number,
  { planned, person, tool, character }: SpongeSetting,
  { hand, mishap }: Day,
  random: Random,
): { sprayed: number; left: number } {
  const held = holds[section.fabric];
  const suction = 1 / Math.sqrt((tool?.water ?? 1.3) * character.water) / hand;
  const flow = 0.62 * (0.8 + 0.2 * (held / 0.2)) * random.spread(0.12);
  let [bound, free] = [0, 0];
  for (let pass = 1; pass <= wetPasses; pass += 1) {
    free += flow * Math.exp(-1.05 * suction);
    const soaks = Math.min(0.45 * free, Math.max(0, 1.6 * held - bound));
    bound += soaks;
    free -= soaks;
    if (pass <= dryPasses) free *= Math.exp(-0.75 * suction);
  }
  for (let pass = wetPasses + 1; pass <= dryPasses; pass += 1) free *= Math.exp(-0.75 * suction);
  if (planned.finalVacuum) free *= 0.72;
  const usual = (bound + free) * Math.sqrt((tool?.water ?? 1.3) * character.water) * (mishap ? 1.7 : 1);
  const left = usual * person.wet * random.spread(0.08);
  return { sprayed: Math.max(flow * wetPasses, usual) + (left - usual) + 0.05, left };
}

/** L/m² sprayed by hand, brushed in and wiped up. */
function dabbed(
  section: PlannedSection,
  rounds: number,
  { person, character }: SpongeSetting,
  { hand }: Day,
  random: Random,
): { sprayed: number; left: number } {
  const sprayed = 0.13 * rounds * random.spread(0.15);
  const wipe = 0.5 * (0.9 + 0.1 * (holds[section.fabric] / 0.2)) * hand;
  return { sprayed, left: Math.min(0.9, wipe) * sprayed * person.wet * Math.sqrt(character.water) };
}

/** L/m² that must go at the rate of a wet surface: all above the critical content, and below it ever more slowly down to dry by touch. */
function toEvaporate(leftPerM2: number, { fabric, area }: PlannedSection): number {
  const critical = holds[fabric] * backing[area] * 1.3;
  const touch = 0.045;
  if (leftPerM2 <= touch) return 0.01;
  return (
    Math.max(0, leftPerM2 - critical) + critical * Math.log(Math.min(leftPerM2, critical) / Math.min(touch, critical))
  );
}

/** Looking, moving and setting up, seats out and in again, the last round with the vacuum. */
function aroundMinutes({ planned }: SpongeSetting): number {
  const seats = planned.sections.filter(({ area }) => area.endsWith('seat') || area === 'rear-bench');
  return 22 + (planned.seatsRemoved ? 25 * Math.max(1, seats.length) : 0) + (planned.finalVacuum ? 6 : 0);
}

/** A whole number either side of the value, on average the value. */
function halfUp(value: number, random: Random): number {
  return Math.min(12, Math.floor(value + random.uniform()));
}

const soilLoad: Readonly<Record<Soil, number>> = { light: 0.7, moderate: 1.3, heavy: 2, severe: 2.8 };
const hardStains: ReadonlySet<string> = new Set(['oil', 'protein', 'pet', 'dye', 'smoke']);
/** How readily the fibres let soil go. */
const release: Readonly<Record<Fabric, number>> = {
  'flat-woven': 1.1,
  knit: 1.05,
  velour: 0.92,
  'suede-like': 0.95,
  'loop-carpet': 0.95,
  'cut-pile': 0.9,
  headlining: 1,
};
/** L/m² that the cloth and what is below it hold back. */
const holds: Readonly<Record<Fabric, number>> = {
  'flat-woven': 0.17,
  knit: 0.2,
  velour: 0.25,
  'suede-like': 0.2,
  'loop-carpet': 0.24,
  'cut-pile': 0.3,
  headlining: 0.12,
};
/** Foam or felt below the cloth, against a seat's. */
const backing: Readonly<Record<Area, number>> = {
  'front-seat': 1,
  'rear-bench': 1,
  'third-row': 1,
  'floor-carpet': 1.15,
  'floor-mats': 0.8,
  cargo: 1,
  'door-insert': 0.6,
  headliner: 0.5,
};
/** How awkward the place is. */
const reach: Readonly<Record<Area, number>> = {
  'front-seat': 1.1,
  'rear-bench': 1,
  'third-row': 1.15,
  'floor-carpet': 1,
  'floor-mats': 0.7,
  cargo: 0.85,
  'door-insert': 1.2,
  headliner: 1.3,
};
