import type { Random } from '../../../../seed/random.ts';
import type { PlannedJob } from '../../../../src/domain/planned.ts';
import { type Area, type BodyStyle, type Soil, soils } from '../../../../src/domain/vocabulary.ts';
import type { PatchShop } from './habits.ts';
import { normalBelow, normalWithin } from './normal.ts';
import type { Hand } from './people.ts';

/*
 * The inspection: how dirty a section truly is (logarithm), and what the one who looks at it calls it. The card tells only the word; the
 * truth behind it is drawn anew each time, given all words of the vehicle. Spreads and means: common practice, no source.
 */

const ofVehicle = 0.5;
const ofSection = 0.35;
const ofEye = 0.28;
const edges = [Number.NEGATIVE_INFINITY, -0.55, 0.2, 0.95, Number.POSITIVE_INFINITY];

/** What the inspection says of each area of one vehicle. */
export function gradesOf(areas: readonly Area[], body: BodyStyle, hand: Hand, shop: PatchShop, random: Random): Soil[] {
  const vehicle = middle(shop, body) + ofVehicle * random.normal();
  return areas.map((area) => {
    const seen = vehicle + (byArea[area] ?? 0) + ofSection * random.normal() + hand.gradesUp + ofEye * random.normal();
    return soils[edges.slice(1, 4).filter((edge) => seen > edge).length];
  });
}

/** The truth given what was said: an exact draw, by a grid over the vehicle. */
export function soilGiven(planned: PlannedJob, hand: Hand, shop: PatchShop, random: Random): number[] {
  const sd = Math.hypot(ofSection, ofEye);
  const ranges = planned.sections.map(({ area, soil }) => {
    const grade = soils.indexOf(soil);
    const shift = (byArea[area] ?? 0) + hand.gradesUp;
    return { low: (edges[grade] - shift) / sd, high: (edges[grade + 1] - shift) / sd };
  });
  const vehicle = drawVehicle(middle(shop, planned.bodyStyle), ranges, sd, random);
  const share = ofSection ** 2 / sd ** 2; // of what was seen, the section's own; the rest is the eye's
  return planned.sections.map(({ area }, i) => {
    const z = normalWithin(ranges[i].low - vehicle / sd, ranges[i].high - vehicle / sd, random);
    const rest = Math.sqrt(ofSection ** 2 * (1 - share)) * random.normal();
    return vehicle + (byArea[area] ?? 0) + share * sd * z + rest;
  });
}

interface Range {
  readonly low: number;
  readonly high: number;
}

const gridStep = 0.2; // standard deviations of the vehicle; 33 points reach 3.2 of them to both sides

function drawVehicle(mid: number, ranges: readonly Range[], sd: number, random: Random): number {
  const grid = Array.from({ length: 33 }, (_, g) => mid + ofVehicle * (g - 16) * gridStep);
  const weights = grid.map((vehicle, g) =>
    ranges.reduce(
      (weight, { low, high }) => weight * (normalBelow(high - vehicle / sd) - normalBelow(low - vehicle / sd) + 1e-12),
      Math.exp(-0.5 * ((g - 16) * gridStep) ** 2),
    ),
  );
  let left = random.uniform() * weights.reduce((total, weight) => total + weight, 0);
  const drawn = weights.findIndex((weight) => {
    left -= weight;
    return left < 0;
  });
  return grid[Math.max(0, drawn)] + ofVehicle * gridStep * (random.uniform() - 0.5);
}

function middle({ clientele }: PatchShop, body: BodyStyle): number {
  return Math.log(clientele) + (byBody[body] ?? 0) - 0.1;
}

/** Families, building sites and parcels leave more dirt. */
const byBody: Readonly<Partial<Record<BodyStyle, number>>> = {
  minivan: 0.25,
  pickup: 0.2,
  van: 0.3,
  'suv-3row': 0.12,
  coupe: -0.2,
};
const byArea: Readonly<Partial<Record<Area, number>>> = {
  'floor-carpet': 0.2,
  'floor-mats': 0.35,
  cargo: 0.1,
  'door-insert': -0.25,
  headliner: -0.4,
};
