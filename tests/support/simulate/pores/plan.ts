import type { Random } from '../../../../seed/random.ts';
import { type PlannedJob, type PlannedJobInput, plannedJob } from '../../../../src/domain/planned.ts';
import { tableSurfaceM2 } from '../../../../src/domain/surface.ts';
import type { Area, DryingAid, Method, Soil, Stain } from '../../../../src/domain/vocabulary.ts';
import { bayAir } from './air.ts';
import type { Kind } from './kinds.ts';
import type { Shop } from './shop.ts';
import type { Setting } from './types.ts';

/** A customer's job as the desk writes it down before the work, at this hour. */
export function planJob(shop: Shop, startHour: number, random: Random): Setting {
  const { kind, ways, hands, tools, habits } = shop;
  const hand = hands[Math.floor(random.uniform() ** 1.4 * hands.length)];
  const others = hands.filter((one) => one !== hand);
  const mate =
    others.length > 0 && random.chance(kind.pairs) ? others[Math.floor(random.uniform() * others.length)] : undefined;
  const bodyStyle = random.pick(kind.bodies);
  const spotJob = random.chance(kind.spotJobs);
  const areas = areasOf(spotJob, bodyStyle === 'suv-3row' || bodyStyle === 'minivan', random);
  const jobSoil = soilOf(kind, startHour, random);
  const fabric = random.pick({ 'flat-woven': 4, knit: 2, velour: 1.5, 'suede-like': 0.7 });
  const sections = areas.map((area) => {
    const method: Method = spotJob
      ? 'spot'
      : area === 'headliner' || area === 'door-insert'
        ? random.pick({ spot: 3, extraction: 1 })
        : random.pick({ extraction: 6, 'spot-then-extraction': 1.3, spot: 0.5 });
    const soil = random.chance(0.7) ? jobSoil : soilOf(kind, startHour, random);
    const count = { 'front-seat': 2, 'floor-mats': 4, 'door-insert': 4 }[area as string] ?? 1;
    return {
      area,
      count,
      ...(random.chance(habits.surfaces) && { surfaceM2: measured(tableSurfaceM2(area, count, bodyStyle), random) }),
      fabric: isCarpet(area) ? shop.carpet(random) : area === 'headliner' ? ('headlining' as const) : fabric,
      soil,
      stains: stainsOf(soil, random),
      method,
      ...(random.chance(habits.brushes) && { brush: random.pick({ none: 0.5, soft: 4, medium: 2, stiff: 0.5 }) }),
      ...(method !== 'spot' && random.chance(habits.plansDry) && { dryPasses: 2 + Number(random.chance(0.4)) }),
    };
  });
  const tool = sections.some(({ method }) => method !== 'spot')
    ? tools[Math.floor(random.uniform() ** 1.5 * tools.length)]
    : undefined;
  const aid: DryingAid = random.pick(habits.aids);
  const air = bayAir(ways, aid, startHour + 3, random);
  const knowsAir = random.chance(habits.air);
  const input: PlannedJobInput = {
    bodyStyle,
    seatsRemoved: areas.some((area) => area.endsWith('seat') || area === 'rear-bench') && random.chance(kind.seatsOut),
    ...(random.chance(0.7) && { modelYear: 2008 + Math.floor(17 * random.uniform() ** 0.8) }),
    extractor: tool?.key ?? null,
    ...(tool &&
      random.chance(habits.mixes) && { dilution: random.pick({ '20': 3, '16': 1, '30': 1 }) === '20' ? 20 : 25 }),
    ...(tool && random.chance(habits.mixes) && { solutionC: 5 * Math.round(random.between(5, 10)) }),
    finalVacuum: random.chance(habits.lastRound),
    sections,
    drying: {
      aid,
      ...(knowsAir && { airC: Math.round(air.airC), rhPercent: Math.round(air.rhPercent) }),
    },
    startAt: new Date(startHour * 3_600_000).toISOString(),
    technician: hand.key,
    crew: mate ? 2 : 1,
  };
  const planned: PlannedJob = plannedJob.parse(input);
  return { planned, hand, mate, tool, ways, startHour };
}

function areasOf(spotJob: boolean, hasThird: boolean, random: Random): Area[] {
  if (spotJob) {
    const one: Area = random.pick({
      'front-seat': 4,
      'rear-bench': 2.5,
      'floor-carpet': 1.5,
      headliner: 0.7,
      cargo: 0.6,
    });
    return random.chance(0.3) ? [one, 'door-insert'] : [one];
  }
  const areas: Area[] = ['front-seat', 'rear-bench'];
  if (random.chance(0.2)) areas.splice(random.chance(0.6) ? 1 : 0, 1);
  if (hasThird && random.chance(0.7)) areas.push('third-row');
  if (random.chance(0.45)) areas.push('floor-carpet');
  if (random.chance(0.25)) areas.push('floor-mats');
  if (random.chance(0.15)) areas.push('cargo');
  if (random.chance(0.12)) areas.push('door-insert');
  if (random.chance(0.06)) areas.push('headliner');
  return areas;
}

/** Winter brings the mud. */
function soilOf({ soils, winterDirt }: Kind, hour: number, random: Random): Soil {
  const winter = Math.exp(-0.5 * winterDirt * Math.cos((2 * Math.PI * (hour / 24 - 200)) / 365.25));
  return random.pick({ ...soils, heavy: soils.heavy * winter, severe: soils.severe * winter * winter });
}

function stainsOf(soil: Soil, random: Random): Stain[] {
  if (!random.chance({ light: 0.15, moderate: 0.3, heavy: 0.5, severe: 0.7 }[soil])) return [];
  return [random.pick({ drink: 4, food: 3, oil: 1.5, protein: 1, pet: 1.5, mud: 2, dye: 0.5, smoke: 0.6, unknown: 2 })];
}

const isCarpet = (area: Area) => area === 'floor-carpet' || area === 'floor-mats' || area === 'cargo';
const measured = (surface: number, random: Random) => Math.round(20 * surface * random.spread(0.09)) / 20;
