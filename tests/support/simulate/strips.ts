import type { Random } from '../../../seed/random.ts';
import type { PlannedSection } from '../../../src/domain/planned.ts';
import type { Fabric, Soil } from '../../../src/domain/vocabulary.ts';
import { evaporationRate } from './air.ts';
import { type Layers, layersAfterPass, layersDryHours } from './layers.ts';
import type { JobSetting, Outcome, SectionOutcome } from './types.ts';

/**
 * Mechanism of strips: a section is done in strips of a tenth of a square metre, each with its own soil; the section goes round
 * again until nearly all strips are clean or the time that it is worth has been spent. Seconds, sprays, refills and
 * interruptions are counted one by one; water lies in two layers that exchange it, stepped in time.
 */
export function strips(setting: JobSetting, random: Random): Outcome {
  const { planned, character, tool } = setting;
  const foam = random.gamma(1 / 0.2 ** 2);
  const worked = planned.sections.map((section) => workSection(section, setting, foam, random));
  const sprayedLitres = worked.reduce((sum, { sprayed }) => sum + sprayed, 0);
  const litres = (of: typeof worked) => of.reduce((sum, { outcome, m2 }) => sum + m2 * outcome.leftPerM2, 0);
  const extractedLeftLitres = litres(worked.filter(({ sprayed }) => sprayed > 0));
  const seconds = worked.reduce((sum, part) => sum + part.seconds, 0) + 240 * Math.floor(sprayedLitres / tankLitres);
  const rate = evaporationRate(planned.drying);
  const dampness = random.spread(0.2) * character.drying * setting.person.dryingHabit;
  return {
    sections: worked.map(({ outcome }) => outcome),
    hours: personHours(setting, seconds * (tool?.time ?? 1), random),
    sprayedLitres,
    recoveredLitres: Math.max(0, sprayedLitres - extractedLeftLitres),
    extractedLeftLitres,
    leftLitres: litres(worked),
    wettestPerM2: Math.max(...worked.map(({ outcome }) => outcome.leftPerM2)),
    dryingHours:
      dampness *
      Math.max(...worked.map((part) => layersDryHours(part.layers, rate, pad[part.fabric] * random.spread(0.12)))),
  };
}

interface WorkedSection {
  readonly outcome: SectionOutcome;
  readonly seconds: number;
  readonly sprayed: number;
  readonly layers: Layers;
  readonly m2: number;
  readonly fabric: Fabric;
}

function workSection(section: PlannedSection, setting: JobSetting, foam: number, random: Random): WorkedSection {
  const m2 = section.surfaceM2 ?? Number.NaN;
  const nStrips = Math.ceil(10 * m2);
  const spot = section.method === 'spot';
  const needed = roundsNeeded(section, nStrips, setting, random);
  const worth = random.between(3, 6.5); // rounds of work that this section is worth to this person today
  const made = Math.min(needed, Math.max(1, Math.ceil(worth)));
  const dryPasses = spot ? 0 : dryRounds(made, setting.person.dryRatio, random);
  const { layers, sprayed } = wetSection(section, setting, made, dryPasses, foam, random);
  const seconds = stripSeconds(section, nStrips, made, dryPasses, random);
  const outcome = { needed, made, clean: made === needed, dryPasses, leftPerM2: layers.cloth + layers.foam };
  return { outcome, seconds, sprayed: spot ? 0 : sprayed * m2, layers, m2, fabric: section.fabric };
}

/** Rounds until 92 strips in 100 are clean: each strip loses a share of its soil at each round, stained ones lose less. */
function roundsNeeded(
  section: PlannedSection,
  nStrips: number,
  { character, person, tool }: JobSetting,
  random: Random,
): number {
  const spot = section.method === 'spot';
  const load = character.soil * soilLoad[section.soil] * random.spread(0.3) * (spot ? 0.72 : 1);
  const take =
    (spot ? 1 : 0.95 / (tool?.passes ?? 1)) *
    { none: 0.92, soft: 1, medium: 1.05, stiff: 1.08 }[section.brush ?? 'soft'];
  const stained = Math.min(0.5, 0.05 * section.stains.length * (section.method === 'spot-then-extraction' ? 0.5 : 1));
  const rounds = Float64Array.from({ length: nStrips }, () => {
    const soil = load * random.spread(0.25);
    const worked = take / grip[section.fabric] / (random.chance(stained) ? 1.7 : 1);
    return Math.max(1, Math.ceil(Math.log(soil / (0.25 * person.eye)) / worked));
  }).sort();
  return rounds[Math.min(nStrips - 1, Math.ceil(0.92 * nStrips) - 1)];
}

function dryRounds(made: number, ratio: number, random: Random): number {
  let rounds = 0;
  for (let i = 0; i < made; i += 1) rounds += Math.floor(ratio) + Number(random.chance(ratio % 1));
  return rounds;
}

function wetSection(
  section: PlannedSection,
  setting: JobSetting,
  made: number,
  dryPasses: number,
  foam: number,
  random: Random,
): { layers: Layers; sprayed: number } {
  const { character, person, tool } = setting;
  const spot = section.method === 'spot';
  const suction = spot ? 0.35 : 1.05 / (tool?.water ?? 1) ** 2;
  const depth = foam * thickness[section.fabric] * character.water * random.spread(0.13);
  let layers: Layers = { cloth: 0, foam: 0 };
  let sprayed = 0;
  let dryLeft = dryPasses;
  for (let round = 0; round < made; round += 1) {
    const dose = (spot ? 0.12 : 1.15) * random.gamma(30);
    const dryNow = Math.ceil(dryLeft / (made - round));
    dryLeft -= dryNow;
    sprayed += dose;
    layers = layersAfterPass(layers, dose, suction, dryNow, depth);
  }
  return { layers: { cloth: person.wet * layers.cloth, foam: person.wet * layers.foam }, sprayed };
}

function stripSeconds(
  section: PlannedSection,
  nStrips: number,
  made: number,
  dryPasses: number,
  random: Random,
): number {
  let seconds = 330 * random.gamma(12);
  const byHand = { light: 38, moderate: 46, heavy: 60, severe: 78 }[section.soil];
  for (let strip = 0; strip < nStrips; strip += 1) {
    const wet = section.method === 'spot' ? 26 : 30 + (section.brush === 'none' ? 0 : 9);
    seconds += (section.method === 'spot' ? 0.5 : 1) * byHand * random.gamma(3) + wet * made * random.gamma(4 * made);
    if (dryPasses > 0) seconds += 13 * dryPasses * random.gamma(4 * dryPasses);
  }
  return seconds;
}

function personHours({ planned, person, mate, character }: JobSetting, seconds: number, random: Random): number {
  const pieces = planned.sections.reduce(
    (sum, { area, count }) => sum + (area === 'front-seat' || area === 'rear-bench' ? count : 0),
    0,
  );
  const seats = planned.seatsRemoved ? 1260 * pieces * random.gamma(25) : 90 * pieces;
  const alone = (1500 * random.gamma(25) + seats + seconds) * person.pace * character.time * random.spread(0.065);
  const hours = (alone / 3600) * (mate ? 1.04 : 1);
  return hours + interruptions(hours, random);
}

/** Calls and customers at exponential gaps, one in eight hours, seven minutes each on average. */
function interruptions(hours: number, random: Random): number {
  const gap = () => -8 * Math.log(1 - random.uniform());
  let lost = 0;
  for (let at = gap(); at < hours; at += gap()) lost += 0.12 * random.gamma(1.2);
  return lost;
}

const tankLitres = 11;
const soilLoad: Readonly<Record<Soil, number>> = { light: 0.42, moderate: 0.8, heavy: 1.35, severe: 2.4 };
const grip: Readonly<Record<Fabric, number>> = {
  'flat-woven': 1,
  knit: 1,
  velour: 1.08,
  'suede-like': 1.06,
  'loop-carpet': 1.06,
  'cut-pile': 1.1,
  headlining: 0.9,
};
/** How deep water goes, and how slowly the pad gives it back, against flat-woven seat cloth on foam. */
const thickness: Readonly<Record<Fabric, number>> = {
  'flat-woven': 1,
  knit: 1.06,
  velour: 1.2,
  'suede-like': 0.9,
  'loop-carpet': 1.2,
  'cut-pile': 1.35,
  headlining: 0.5,
};
const pad: Readonly<Record<Fabric, number>> = {
  'flat-woven': 1,
  knit: 1,
  velour: 1.1,
  'suede-like': 1.05,
  'loop-carpet': 1.25,
  'cut-pile': 1.35,
  headlining: 0.8,
};
