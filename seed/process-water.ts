import type { Fabric } from '../src/domain/vocabulary.ts';
import type { Part } from './customers.ts';
import type { SoilCourse } from './process-soil.ts';
import type { Random } from './random.ts';
import type { Extractor, Habits } from './scenario.ts';

export interface WaterCourse {
  readonly dryPasses: number;
  /** Litres through the machine; spot work has none. */
  readonly sprayedLitres: number;
  readonly recoveredLitres: number;
  /** Left in cloth and foam, L/m². */
  readonly leftPerM2: number;
}

/**
 * Water put down and got back over one section, pass by pass, in two stores, L/m²: the cloth, which suction empties
 * down to what its fibres hold, and the foam, which takes a share of what the cloth cannot hold and gives little back.
 */
export function wetSection(
  part: Part,
  course: SoilCourse,
  habits: Habits,
  extractor: Extractor | undefined,
  finalVacuum: boolean,
  random: Random,
): WaterCourse {
  const cloth = clothOf[part.fabric];
  const rounds = part.method === 'spot' ? course.wetPasses : course.spotRounds;
  let store: Store = { surface: 0, foam: 0 };
  for (let round = 0; round < rounds; round += 1) store = spotRound(store, random);
  if (!extractor || part.method === 'spot') {
    return { dryPasses: 0, sprayedLitres: 0, recoveredLitres: 0, leftPerM2: store.surface + store.foam };
  }
  const spotted = store.surface + store.foam;
  const pull = pullOf(extractor) * habits.nozzle * random.spread(0.07);
  const secondsPerM2 = 150 * habits.pace * random.spread(0.08);
  const dose = (extractor.sprayLitresPerMinute * secondsPerM2 * habits.trigger * cloth.wetting) / 60;
  let sprayed = 0;
  let dryPasses = 0;
  for (let pass = 0; pass < course.wetPasses; pass += 1) {
    const down = dose * random.spread(0.12);
    sprayed += down;
    store = draw(soak({ ...store, surface: store.surface + down }, cloth), pull, cloth);
    const dry = habitual(habits.dryPasses, random);
    dryPasses += dry;
    for (let d = 0; d < dry; d += 1) store = draw(store, 0.85 * pull, cloth);
  }
  if (finalVacuum) store = draw(store, 0.4 * pull, cloth);
  const leftPerM2 = store.surface + store.foam;
  return {
    dryPasses,
    sprayedLitres: sprayed * part.surfaceM2,
    recoveredLitres: Math.max(0, sprayed + spotted - leftPerM2) * part.surfaceM2,
    leftPerM2,
  };
}

interface Store {
  readonly surface: number;
  readonly foam: number;
}
interface Cloth {
  /** Water that the cloth holds before it drips through, and against suction; L/m². */
  readonly holds: number;
  readonly keeps: number;
  /** How wet this cloth is worked against seat cloth. */
  readonly wetting: number;
}

function soak(store: Store, cloth: Cloth): Store {
  const through = 0.13 * Math.max(0, store.surface - 0.5 * cloth.holds);
  return { surface: store.surface - through, foam: store.foam + through };
}

function draw(store: Store, pull: number, cloth: Cloth): Store {
  const kept = cloth.keeps / Math.sqrt(pull);
  const free = Math.max(0, store.surface - kept);
  return { surface: store.surface - free * (1 - Math.exp(-2.1 * pull)), foam: store.foam * Math.exp(-0.16 * pull) };
}

function spotRound(store: Store, random: Random): Store {
  const wiped = random.between(0.4, 0.6);
  return { surface: (store.surface + random.between(0.1, 0.2)) * (1 - wiped), foam: store.foam + 0.01 };
}

/** Suction against the middle machine: lift counts for more than airflow on foam. */
function pullOf(extractor: Extractor): number {
  return (extractor.waterLiftKpa / 24) ** 0.6 * (extractor.airflowM3h / 175) ** 0.4;
}

function habitual(mean: number, random: Random): number {
  const whole = Math.floor(mean);
  return whole + Number(random.chance(mean - whole));
}

const clothOf: Readonly<Record<Fabric, Cloth>> = {
  'flat-woven': { holds: 0.35, keeps: 0.1, wetting: 1 },
  knit: { holds: 0.34, keeps: 0.11, wetting: 1.02 },
  velour: { holds: 0.5, keeps: 0.14, wetting: 1.05 },
  'suede-like': { holds: 0.3, keeps: 0.1, wetting: 0.85 },
  'loop-carpet': { holds: 0.55, keeps: 0.16, wetting: 1.05 },
  'cut-pile': { holds: 0.65, keeps: 0.18, wetting: 1.1 },
  headlining: { holds: 0.2, keeps: 0.06, wetting: 0.4 },
};
