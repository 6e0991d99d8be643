import type { Random } from '../../../../seed/random.ts';
import { type PlannedJobInput, plannedJob } from '../../../../src/domain/planned.ts';
import type { BodyStyle, DryingAid, Soil } from '../../../../src/domain/vocabulary.ts';
import { carriedIn, insideC, outsideC, outsideRh, within } from './air.ts';
import { iso } from './calendar.ts';
import type { Engine } from './engines.ts';
import type { PatchShop } from './habits.ts';
import { drawAreas, drawSections } from './interior.ts';
import { anyOf } from './people.ts';
import { gradesOf } from './soil.ts';
import type { PatchSetting } from './visit.ts';

/*
 * One job as it is taken on: vehicle and hour, who inspects it, seats in or out, which extractor, one or two people, and what the card says
 * of the rest. A plan may leave open who does it, and always who helps. Shares: common practice, no source.
 */

export function drawJob(shop: PatchShop, day: number, isRecord: boolean, random: Random): PatchSetting {
  const bodyStyle = random.pick<BodyStyle>(styles);
  const startHour = drawHour(day, random);
  const lead = anyOf(shop.hands, random);
  const areas = drawAreas(bodyStyle, shop.trade, random);
  const grades = gradesOf(areas, bodyStyle, lead, shop, random);
  const { seatsRemoved, sections } = drawSections({ areas, grades, bodyStyle, shop }, random);
  const needsEngine = sections.some(({ method }) => method !== 'spot');
  const engine = needsEngine ? chooseEngine(shop, grades, random) : undefined;
  const crew = shop.hands.length > 1 && random.chance(shop.trade.crewShare * (areas.length >= 3 ? 1.7 : 0.8)) ? 2 : 1;
  const isNamed = isRecord || random.chance(shop.papers.named);
  const drying = drawDrying(shop, startHour, random);
  const planned: PlannedJobInput = {
    bodyStyle,
    seatsRemoved,
    ...drawCard(shop, engine, random),
    sections,
    ...(Object.keys(drying).length > 0 && { drying }),
    startAt: iso(startHour),
    ...(isNamed && { technician: lead.key }),
    crew,
  };
  const others = shop.hands.filter(({ key }) => key !== lead.key);
  return {
    planned: plannedJob.parse(planned),
    shop,
    engine,
    lead: isNamed ? lead : undefined,
    mate: crew === 2 && isRecord ? anyOf(others, random) : undefined,
    startHour,
  };
}

/** Mornings mostly, on a quarter. */
function drawHour(day: number, random: Random): number {
  const hour = Number(random.pick({ '8': 5, '9': 2, '10': 2, '11': 1, '13': 3, '14': 1 }));
  return day + hour + Math.floor(random.uniform() * 4) / 4;
}

/** Where the shop has the habit, the strongest for the worst and the weakest for the rest, three times in four. */
function chooseEngine({ engines, trade }: PatchShop, grades: readonly Soil[], random: Random): Engine {
  if (!trade.bestToWorst || !random.chance(0.75)) return anyOf(engines, random);
  const ranked = [...engines].sort((a, b) => b.suction - a.suction);
  return ranked[grades.includes('heavy') || grades.includes('severe') ? 0 : ranked.length - 1];
}

/** What a card may leave out: the year, and how the solution is mixed and heated. */
function drawCard({ trade }: PatchShop, engine: Engine | undefined, random: Random): Partial<PlannedJobInput> {
  return {
    ...(random.chance(0.8) && { modelYear: 2025 - Math.min(30, Math.floor(9 * random.gamma(1.6))) }),
    extractor: engine?.key ?? null,
    ...(random.chance(0.4) && { dilution: trade.usualDilution }),
    ...(random.chance(0.3) && engine && { solutionC: Math.round((engine.heated ? 48 : 30) + 6 * random.normal()) }),
    ...(random.chance(0.7) && { finalVacuum: random.chance(0.2 + 0.7 * trade.vacuumHabit) }),
  };
}

type Drying = NonNullable<PlannedJobInput['drying']>;

/** The aid that is meant, and a reading of the air to whole degrees and five percent. */
function drawDrying({ bay, papers, aids }: PatchShop, hour: number, random: Random): Drying {
  const outC = outsideC(bay, hour, random);
  const airC = insideC(bay, outC);
  const isRead = random.chance(papers.air);
  const rh = carriedIn(outC, outsideRh(bay, outC, random), airC) + 6;
  return {
    ...(random.chance(papers.aid) && { aid: random.pick<DryingAid>(aids) }),
    ...(isRead && { airC: Math.round(airC), rhPercent: within(20, 90, Math.round(rh / 5) * 5) }),
  };
}

const styles: Readonly<Record<BodyStyle, number>> = {
  sedan: 5,
  suv: 5,
  hatchback: 3,
  minivan: 2,
  pickup: 2,
  wagon: 1.5,
  'suv-3row': 2,
  coupe: 1,
  van: 0.8,
};
