import type { Random } from '../../../../seed/random.ts';
import { tableSurfaceM2 } from '../../../../src/domain/surface.ts';
import { type BodyStyle, type Soil, seatAreas } from '../../../../src/domain/vocabulary.ts';
import { bayAir, dryAll } from './air.ts';
import { type Cleaned, cleanSection } from './grains.ts';
import type { Setting, Worked } from './types.ts';
import { capacityOf, type Wetness, wetSection } from './water.ts';

/** Does the job once: all that is not settled by the plan, the people, the machine and the shop is chance. */
export function carryOut(setting: Setting, random: Random): Worked {
  const { planned, ways, startHour } = setting;
  const size = random.spread(0.07);
  const surfaces = planned.sections.map(
    ({ area, count, surfaceM2 }) =>
      surfaceM2 ?? tableSurfaceM2(area, count, planned.bodyStyle) * size * random.spread(0.06),
  );
  const cleaned = planned.sections.map((section) => cleanSection(section, setting, random));
  const wet = planned.sections.map((section, s) => wetSection(section, cleaned[s], setting, random));
  const hours = hoursOf(setting, surfaces, cleaned, wet, random);
  const elapsedHours = setting.mate ? 0.53 * hours : hours;
  const end = startHour + elapsedHours;
  const drawn = bayAir(ways, planned.drying?.aid ?? 'open-doors', end, random);
  const air = { airC: planned.drying?.airC ?? drawn.airC, rhPercent: planned.drying?.rhPercent ?? drawn.rhPercent };
  const left = wet.map(({ cloth, foam }) => cloth + foam);
  const litres = (of: (wetness: Wetness) => number, extracted = true) =>
    wet.reduce(
      (sum, one, s) => sum + (extracted && planned.sections[s].method === 'spot' ? 0 : of(one) * surfaces[s]),
      0,
    );
  const lying = planned.sections.map(({ fabric, area }, s) => ({
    ...wet[s],
    capacity: capacityOf[fabric] * ways.cloth[fabric],
    thick: area !== 'headliner' && area !== 'door-insert' && area !== 'floor-mats',
  }));
  const surface = surfaces.reduce((sum, one) => sum + one, 0);
  return {
    sections: cleaned.map(({ needed, made, clean }, s) => {
      return { needed, made, clean, dryPasses: wet[s].dryPasses, leftPerM2: left[s] };
    }),
    hours,
    sprayedLitres: litres(({ sprayed }) => sprayed),
    recoveredLitres: litres(({ recovered }) => recovered),
    extractedLeftLitres: litres(({ cloth, foam }) => cloth + foam),
    leftLitres: litres(({ cloth, foam }) => cloth + foam, false),
    wettestPerM2: Math.max(...left),
    dryingHours: dryAll(lying, surface, air, setting, end, random),
    surfaces,
    spotRounds: cleaned.map(({ spotRounds }) => spotRounds),
    ...air,
    elapsedHours,
  };
}

/** Person-hours: the tasks one after the other, each with its own chance, and whoever comes in between. */
function hoursOf(
  { planned, hand, mate, tool, ways }: Setting,
  surfaces: readonly number[],
  cleaned: readonly Cleaned[],
  wet: readonly Wetness[],
  random: Random,
): number {
  const { bodyStyle, seatsRemoved, finalVacuum } = planned;
  const quick = tool?.time ?? 1;
  let minutes = 14 * random.gamma(8) + (tool ? 12 * random.gamma(6) : 3);
  planned.sections.forEach((section, s) => {
    const { area, soil, method, stains, count } = section;
    const isSeat = (seatAreas as readonly string[]).includes(area);
    const reach = access[bodyStyle] * (isSeat && !seatsRemoved ? 1.05 : 1);
    const [m2, { made, spotRounds }] = [surfaces[s], cleaned[s]];
    minutes += 6 * ways.fetch * random.gamma(6);
    if (isSeat && seatsRemoved) minutes += (area === 'front-seat' ? count : 1) * 20 * ways.fetch * random.gamma(9);
    const byHand = method === 'spot' ? 2.4 : 8.2;
    minutes += m2 * byHand * dirt[soil] * reach * random.gamma(12);
    if (method === 'spot') minutes += m2 * 4 * made * reach;
    else minutes += m2 * ways.stroke * quick * reach * (5.4 * made + 2.6 * wet[s].dryPasses);
    minutes += 2.2 * spotRounds + stains.length * 2.5 * random.gamma(2);
    if (finalVacuum) minutes += m2;
  });
  const pace = mate ? (hand.pace + mate.pace) / 2 : hand.pace;
  minutes *= ways.tempo * pace * (mate ? 1.07 : 1) * random.spread(0.05);
  const calls = random.poisson((ways.callsAnHour * minutes) / 60);
  for (let call = 0; call < calls; call += 1) minutes += 6 * random.gamma(1.3);
  return minutes / 60;
}

const access: Readonly<Record<BodyStyle, number>> = {
  coupe: 1.08,
  hatchback: 1,
  sedan: 1,
  wagon: 1,
  suv: 1.03,
  'suv-3row': 1.05,
  minivan: 0.98,
  pickup: 1,
  van: 0.98,
};
/** Hand work before the machine, by what there is to vacuum and loosen. */
const dirt: Readonly<Record<Soil, number>> = { light: 0.8, moderate: 1, heavy: 1.3, severe: 1.7 };
