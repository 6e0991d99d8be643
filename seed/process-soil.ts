import type { Brush, Fabric, Grade, Result, Soil, Stain } from '../src/domain/vocabulary.ts';
import type { Part } from './customers.ts';
import type { Random } from './random.ts';
import type { Extractor, Habits } from './scenario.ts';

export interface SoilCourse {
  readonly wetPasses: number;
  readonly spotRounds: number;
  readonly brush: Brush;
  readonly result: Result;
  /** Soil left at the end, g/m². */
  readonly left: number;
}

/**
 * The cleaning of one section as mass in two pools, g/m²: loose soil that each pass takes by a good share, bound soil
 * (stains too) by a small one, until the eye passes it or the person gives up. All figures are invented.
 */
export function cleanSection(part: Part, habits: Habits, extractor: Extractor | undefined, random: Random): SoilCourse {
  const spotOnly = part.method === 'spot';
  const brush = brushFor(part, random);
  const start = startingSoil(part, random);
  const eye = habits.eye * random.spread(0.12);
  const spotRounds = part.method === 'spot-then-extraction' ? 1 + Number(random.chance(0.3)) : 0;
  const grip = (spotOnly ? 1.25 : gripOf[extractor?.grade ?? 'standard']) * brushGrip[brush] * openness[part.fabric];
  let loose = start.loose;
  let bound = start.bound * 0.7 ** spotRounds;
  let wetPasses = 0;
  let gaveUp = false;
  while (!gaveUp) {
    const worked = grip * random.spread(0.1);
    loose *= Math.exp(-1.25 * worked);
    bound *= Math.exp(-(spotOnly ? 0.8 : 0.5) * worked);
    wetPasses += 1;
    if (loose + bound <= eye) break;
    gaveUp = wetPasses >= 8 || random.chance(givingUp(wetPasses, part.stains, habits.patience));
  }
  const left = loose + bound;
  const removed = 1 - left / (start.loose + start.bound);
  return { wetPasses, spotRounds, brush, result: gaveUp ? (removed < 0.45 ? 'unchanged' : 'improved') : 'clean', left };
}

function startingSoil(part: Part, random: Random): { loose: number; bound: number } {
  const mass = massOf[part.soil] * random.spread(0.28) * (part.method === 'spot' ? 0.55 : 1);
  const boundShare = 0.16 + 0.14 * random.uniform();
  const vacuumed = random.between(0.55, 0.8);
  const stains = part.stains.reduce((sum, stain) => sum + stainMass[stain] * random.gamma(2), 0);
  return { loose: mass * (1 - boundShare) * vacuumed, bound: mass * boundShare + stains };
}

function givingUp(passes: number, stains: readonly Stain[], patience: number): number {
  const base = [0.01, 0.035, 0.09, 0.25, 0.35, 0.45, 0.6][passes - 1] ?? 0.7;
  return Math.min(0.9, (base * (stains.includes('dye') ? 1.8 : 1)) / patience);
}

/** The gentlest brush that will do; suede-like cloth and headlining never see a hard one. */
function brushFor(part: Part, random: Random): Brush {
  if (part.fabric === 'suede-like' || part.fabric === 'headlining') return random.chance(0.8) ? 'soft' : 'none';
  const floor = part.fabric === 'loop-carpet' || part.fabric === 'cut-pile';
  const dirty = part.soil === 'heavy' || part.soil === 'severe';
  if (floor) return random.pick<Brush>(dirty ? { medium: 4, stiff: 6 } : { soft: 2, medium: 6, stiff: 2 });
  return random.pick<Brush>(dirty ? { soft: 3, medium: 7 } : { none: 1, soft: 6, medium: 3 });
}

const gripOf: Readonly<Record<Grade, number>> = { entry: 0.82, standard: 1, high: 1.28 };
const brushGrip: Readonly<Record<Brush, number>> = { none: 0.9, soft: 1, medium: 1.06, stiff: 1.1 };
const openness: Readonly<Record<Fabric, number>> = {
  'flat-woven': 1,
  knit: 0.98,
  velour: 0.92,
  'suede-like': 0.9,
  'loop-carpet': 0.92,
  'cut-pile': 0.89,
  headlining: 1.1,
};
const massOf: Readonly<Record<Soil, number>> = { light: 6, moderate: 12.5, heavy: 21, severe: 34 };
const stainMass: Readonly<Record<Stain, number>> = {
  drink: 0.6,
  food: 0.4,
  oil: 0.9,
  protein: 0.8,
  pet: 0.6,
  mud: 0.5,
  dye: 1.2,
  smoke: 0.6,
  unknown: 0.5,
};
