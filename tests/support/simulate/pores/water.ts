import type { Random } from '../../../../seed/random.ts';
import type { PlannedSection } from '../../../../src/domain/planned.ts';
import type { Fabric } from '../../../../src/domain/vocabulary.ts';
import type { Cleaned } from './grains.ts';
import type { Setting } from './types.ts';

/** Litres a square metre: in the cloth and in the foam or pad below, and through the machine. */
export interface Wetness {
  readonly cloth: number;
  readonly foam: number;
  readonly sprayed: number;
  readonly recovered: number;
  readonly dryPasses: number;
}

/**
 * Cloth is a store of pores. Suction empties those wider than its pull can hold against (Laplace: the narrow hold harder), and comes near that
 * with the air that flows; what is sprayed on cloth already full goes through to the foam, from where a stroke fetches little.
 */
export function wetSection(section: PlannedSection, work: Cleaned, setting: Setting, random: Random): Wetness {
  if (section.method === 'spot') return spotWetness(section, work, setting, random);
  const { hand, tool, ways, planned } = setting;
  const capacity = capacityOf[section.fabric] * ways.cloth[section.fabric];
  const pullKpa = (tool?.liftKpa ?? 10) * 0.46 * Math.min(1.25, hand.seal * random.spread(0.06));
  const stays = capacity / (1 + (pullKpa / holdKpa[section.fabric]) ** 1.4);
  const reach = 1 - Math.exp(-0.8 * ((tool?.airM3h ?? 100) / 160) ** 0.7 * hand.dwell);
  const fromFoam = Math.min(0.5, 0.13 * (pullKpa / 9) * hand.dwell);
  const dose = 0.62 * hand.trigger * (section.area === 'headliner' ? 0.4 : 1) * random.spread(0.12);
  const through = 0.15 * ways.foam * random.spread(0.2);
  const dryPasses = section.dryPasses ?? Math.max(0, Math.round(work.made * hand.dryRatio + 0.45 * random.normal()));
  let [cloth, foam, recovered] = [0, 0, 0];
  if (work.spotRounds > 0) cloth += 0.05 * work.spotRounds;
  const suck = (share = 1) => {
    const [fromCloth, below] = [share * reach * Math.max(0, cloth - stays), share * fromFoam * foam];
    cloth -= fromCloth;
    foam -= below;
    return fromCloth + below;
  };
  let due = 0;
  let dried = 0;
  for (let pass = 0; pass < work.made; pass += 1) {
    const sinks = dose * Math.min(0.9, through * (0.35 + cloth / capacity));
    const over = Math.max(0, cloth + dose - sinks - 1.4 * capacity);
    cloth += dose - sinks - over;
    foam += sinks + 0.5 * over;
    recovered += 0.5 * over + suck();
    for (due += dryPasses / work.made; dried < Math.floor(due + 1e-9); dried += 1) recovered += suck();
  }
  if (planned.finalVacuum) {
    const last = suck(0.6);
    if (ways.vacuumIsExtractor) recovered += last;
  }
  const before = 0.05 * work.spotRounds;
  const tank = Math.max(0, recovered - 0.4 * before) * (1 - 0.02 * random.uniform());
  return { cloth, foam, sprayed: dose * work.made, recovered: tank, dryPasses };
}

/** Sprayed from a bottle, brushed, wiped with a cloth that takes some of it up again. */
function spotWetness(section: PlannedSection, work: Cleaned, { hand }: Setting, random: Random): Wetness {
  const dose = 0.11 * hand.trigger ** 0.7 * capacityOf[section.fabric] ** 0.4 * random.spread(0.2) * work.made ** 0.6;
  return { cloth: 0.85 * dose, foam: 0.15 * dose, sprayed: 0, recovered: 0, dryPasses: 0 };
}

/** What the pores hold when full, litres a square metre. */
export const capacityOf: Readonly<Record<Fabric, number>> = {
  'flat-woven': 0.5,
  knit: 0.52,
  velour: 0.6,
  'suede-like': 0.42,
  'loop-carpet': 0.66,
  'cut-pile': 0.7,
  headlining: 0.3,
};
/** The pull at which half of the pores are empty. */
const holdKpa: Readonly<Record<Fabric, number>> = {
  'flat-woven': 7.5,
  knit: 7.2,
  velour: 7.8,
  'suede-like': 9,
  'loop-carpet': 6.8,
  'cut-pile': 7.2,
  headlining: 8,
};
