import type { Random } from '../../../../seed/random.ts';
import type { PlannedSection } from '../../../../src/domain/planned.ts';
import type { Brush, Fabric, Soil, Stain } from '../../../../src/domain/vocabulary.ts';
import type { Setting } from './types.ts';

export interface Cleaned {
  readonly needed: number;
  readonly made: number;
  readonly clean: boolean;
  readonly spotRounds: number;
}

/**
 * Grains lie loose, are held between fibres or ground in. A stroke takes its share of each kind, so that every pass brings less than the one
 * before; who works looks after each and stops at what the eye takes for clean, or when nothing more seems to come.
 */
export function cleanSection(section: PlannedSection, setting: Setting, random: Random): Cleaned {
  const { hand, ways } = setting;
  const spot = section.method === 'spot';
  const amount =
    soilAmount[section.soil] +
    ways.soil[section.soil] +
    (spot ? -0.3 : 0) +
    section.stains.reduce((sum, stain) => sum + (stainAmount[stain] ?? 0.07), 0) +
    (section.method === 'spot-then-extraction' ? -0.07 : 0) +
    0.42 * random.normal();
  const groundIn = spot ? 0.02 : groundInShare[section.soil] * heldBy[section.fabric] * random.gamma(3);
  const power = (spot ? brushPower[section.brush ?? 'soft'] : flushOf(section, setting)) * random.spread(0.08);
  const left = (passes: number) => amount + Math.log(remaining(passes * power, Math.min(0.4, groundIn), spot));
  let needed = 1;
  while (needed < 12 && left(needed) > hand.lenience) needed += 1;
  let made = 0;
  for (;;) {
    made += 1;
    const looksClean = left(made) + hand.sight * random.normal() <= hand.lenience;
    if (looksClean) {
      if (made < 6 && random.chance(hand.oneMore)) made += 1;
      return { needed, made, clean: true, spotRounds: roundsBefore(section, random) };
    }
    const gain = left(made - 1) - left(made);
    const patience = made < 2 ? 0.01 : made < 3 ? 0.05 : Math.min(0.6, 0.13 / gain);
    if (made >= 9 || random.chance(patience)) {
      return { needed, made, clean: false, spotRounds: roundsBefore(section, random) };
    }
  }
}

/** Share of the grains still there after so much stroking. */
function remaining(strokes: number, groundIn: number, spot: boolean): number {
  const loose = (1 - groundIn) * (spot ? 0.6 : 0.49);
  const held = 1 - groundIn - loose;
  return loose * Math.exp(-1.6 * strokes) + held * Math.exp(-0.7 * strokes) + groundIn * Math.exp(-0.22 * strokes);
}

function flushOf({ brush, fabric }: PlannedSection, { planned, hand, tool }: Setting): number {
  const warmth = 1 + 0.004 * ((planned.solutionC ?? 35) + (tool?.heated ? 8 : 0) - 35);
  const strength = (20 / (planned.dilution ?? 20)) ** 0.12;
  const gentle = fabric === 'suede-like' || fabric === 'headlining' ? 0.92 : 1;
  return (tool?.flush ?? 0.7) * brushPower[brush ?? 'soft'] * warmth * strength * gentle * hand.dwell ** 0.5;
}

function roundsBefore({ method }: PlannedSection, random: Random): number {
  return method === 'spot-then-extraction' ? 1 + Number(random.chance(0.35)) : 0;
}

/** Logarithm of the soil over what passes for clean. */
const soilAmount: Readonly<Record<Soil, number>> = { light: 0.68, moderate: 1.27, heavy: 1.72, severe: 2.1 };
const groundInShare: Readonly<Record<Soil, number>> = { light: 0.04, moderate: 0.07, heavy: 0.12, severe: 0.18 };
const heldBy: Readonly<Record<Fabric, number>> = {
  'flat-woven': 1,
  knit: 1.05,
  velour: 1.4,
  'suede-like': 1.1,
  'loop-carpet': 1.5,
  'cut-pile': 1.6,
  headlining: 0.6,
};
const stainAmount: Readonly<Partial<Record<Stain, number>>> = {
  oil: 0.12,
  protein: 0.1,
  drink: 0.08,
  dye: 0.15,
  pet: 0.1,
};
const brushPower: Readonly<Record<Brush, number>> = { none: 0.9, soft: 1, medium: 1.06, stiff: 1.1 };
