import type { Random } from '../../../seed/random.ts';
import { type PlannedJobInput, plannedJob } from '../../../src/domain/planned.ts';
import { tableSurfaceM2 } from '../../../src/domain/surface.ts';
import type { Area, BodyStyle, Brush, DryingAid, Fabric, Method, Soil, Stain } from '../../../src/domain/vocabulary.ts';
import type { SpongeSetting, Worker } from './sponge.ts';
import type { SpongeShop } from './sponge-shop.ts';
import type { Tool } from './types.ts';

type SectionInput = PlannedJobInput['sections'][number];

/** One job as it comes through the door: half of them seats, some whole interiors, some a single stain. */
export function drawSpongeJob(shop: SpongeShop, startHour: number, random: Random): SpongeSetting {
  const bodyStyle = random.pick<BodyStyle>({
    sedan: 5,
    suv: 4,
    hatchback: 3,
    minivan: 2,
    pickup: 2,
    wagon: 1,
    'suv-3row': 2,
    coupe: 1,
    van: 0.5,
  });
  const dirt = shop.clientele + random.normal();
  const cover = random.pick<Fabric>({ 'flat-woven': 4, knit: 4, velour: 2, 'suede-like': 1 });
  const floor = random.pick<Fabric>({ 'cut-pile': 3, 'loop-carpet': 2 });
  const kind = random.pick({ stain: 2, seats: 7, whole: 4, floor: 1 });
  const areas = areasOf(kind, bodyStyle, random);
  const sections = areas.map((area) =>
    drawSection(area, { bodyStyle, dirt, isStain: kind === 'stain', fabric: fabricOf(area, cover, floor) }, random),
  );
  const [person, mate] = drawCrew(shop.people, startHour, random);
  const needsTool = sections.some(({ method }) => method !== 'spot');
  const tool = needsTool ? drawTool(shop, dirt, person, random) : undefined;
  const planned: PlannedJobInput = {
    bodyStyle,
    ...(random.chance(0.7) && { modelYear: 2024 - Math.floor(random.between(0, 14)) }),
    seatsRemoved: kind === 'seats' || kind === 'whole' ? random.chance(0.3) : false,
    extractor: tool?.key ?? null,
    ...(tool && random.chance(0.6) && { dilution: random.pick({ 20: 4, 16: 1, 25: 1 }) === '20' ? 20 : 16 }),
    ...(tool && random.chance(0.5) && { solutionC: 5 * Math.round(random.between(5, 11)) }),
    ...(tool && { finalVacuum: random.chance(0.65) }),
    technician: person.key,
    crew: mate ? 2 : 1,
    startAt: new Date(startHour * 3_600_000).toISOString(),
    sections,
    ...(random.chance(0.92) && { drying: drawAir(shop, startHour, random) }),
  };
  return {
    planned: plannedJob.parse(planned),
    person,
    mate,
    tool,
    character: shop.character,
    bay: shop.bay,
    startHour,
  };
}

function areasOf(kind: 'stain' | 'seats' | 'whole' | 'floor', bodyStyle: BodyStyle, random: Random): Area[] {
  const isCoupe = bodyStyle === 'coupe' || bodyStyle === 'van';
  const row3: Area[] = bodyStyle === 'minivan' || bodyStyle === 'suv-3row' ? ['third-row'] : [];
  const seats: Area[] = isCoupe ? ['front-seat'] : ['front-seat', 'rear-bench', ...row3];
  if (kind === 'stain')
    return [random.pick<Area>({ 'front-seat': 4, 'rear-bench': 3, 'floor-carpet': 1, headliner: 0.5, cargo: 0.5 })];
  if (kind === 'floor') return ['floor-carpet', 'floor-mats'];
  if (kind === 'seats') return random.chance(0.25) ? [random.pick<Area>({ 'front-seat': 1, 'rear-bench': 1 })] : seats;
  const more = (['floor-mats', 'door-insert', 'cargo'] as const).filter(() => random.chance(0.4));
  return [...seats, 'floor-carpet', ...more];
}

function fabricOf(area: Area, cover: Fabric, floor: Fabric): Fabric {
  if (area === 'headliner') return 'headlining';
  return area === 'floor-carpet' || area === 'floor-mats' || area === 'cargo' ? floor : cover;
}

interface Vehicle {
  readonly bodyStyle: BodyStyle;
  readonly dirt: number;
  readonly isStain: boolean;
  readonly fabric: Fabric;
}

function drawSection(area: Area, { bodyStyle, dirt, isStain, fabric }: Vehicle, random: Random): SectionInput {
  const count =
    area === 'front-seat' ? (random.chance(0.9) ? 2 : 1) : area === 'floor-mats' ? 4 : area === 'door-insert' ? 4 : 1;
  const worn = area === 'front-seat' ? 0.3 : area === 'floor-carpet' || area === 'floor-mats' ? 0.4 : 0;
  const stains = drawStains(isStain ? 1.2 : 0.4, random);
  const light = isStain || area === 'headliner' || (area === 'door-insert' && random.chance(0.7));
  const method: Method = light
    ? 'spot'
    : stains.length > 0 && random.chance(0.5)
      ? 'spot-then-extraction'
      : 'extraction';
  const whole = tableSurfaceM2(area, count, bodyStyle) * random.spread(0.1);
  return {
    area,
    count,
    surfaceM2: Math.round(100 * whole * (isStain ? random.between(0.4, 1) : 1)) / 100,
    fabric,
    soil: soilOf(dirt + worn + 0.5 * random.normal()),
    stains,
    method,
    brush: random.pick<Brush>({ none: 1, soft: 5, medium: 3, stiff: worn > 0.3 ? 2 : 0 }),
  };
}

function drawStains(expected: number, random: Random): Stain[] {
  const found = new Set<Stain>();
  for (let n = random.poisson(expected); n > 0; n -= 1)
    found.add(
      random.pick<Stain>({ drink: 5, food: 4, mud: 2, oil: 1, pet: 2, protein: 1, dye: 0.5, smoke: 0.5, unknown: 2 }),
    );
  return [...found];
}

function soilOf(score: number): Soil {
  if (score < -0.7) return 'light';
  if (score < 0.8) return 'moderate';
  return score < 1.9 ? 'heavy' : 'severe';
}

function drawCrew(people: readonly Worker[], startHour: number, random: Random): [Worker, Worker | undefined] {
  const yearGone = (startHour - firstHour) / (24 * 365);
  const here = people.filter(({ since }) => since <= Math.max(0, yearGone));
  const drawn = (from: readonly Worker[]) => from[Math.floor(random.uniform() * from.length)];
  const person = drawn(here) as Worker; // somebody is there from the start
  const others = here.filter((other) => other !== person);
  return [person, random.chance(0.12) ? drawn(others) : undefined];
}

/** The dirtier, the better the machine, a little always and more where asked for; and everyone has a favourite. */
function drawTool({ tools, people, options }: SpongeShop, dirt: number, person: Worker, random: Random): Tool {
  const pull = (options.harderToBetter ? 1 : 0.3) * dirt;
  const favourite = tools[people.indexOf(person) % tools.length];
  const weights = Object.fromEntries(
    tools.map((tool) => [tool.key, Math.exp(pull * rank[tool.grade] + (tool === favourite ? 0.6 : 0))]),
  );
  const key = random.pick<string>(weights);
  return tools.find((tool) => tool.key === key) as Tool; // picked from these very keys
}

/** A bay heated in winter to less than it has in summer; damp outside air in summer, dry heated air in winter. */
function drawAir({ warmth }: SpongeShop, startHour: number, random: Random): PlannedJobInput['drying'] {
  const summer = -Math.cos((2 * Math.PI * (startHour / 24 - 19)) / 365.25);
  const aid = random.pick<DryingAid>({
    'still-air': 2,
    'open-doors': 3 + 2 * summer,
    fan: 4,
    dehumidifier: 1,
    'warm-room': 1 - summer,
    sun: Math.max(0, summer),
  });
  const airC =
    18 + warmth + 4.5 * summer + (aid === 'warm-room' ? 7 : 0) + (aid === 'sun' ? 3 : 0) + 1.5 * random.normal();
  const rhPercent = 52 + 5 * summer - (aid === 'warm-room' || aid === 'dehumidifier' ? 10 : 0) + 8 * random.normal();
  return {
    aid,
    ...(random.chance(0.9) && {
      airC: Math.round(airC),
      rhPercent: Math.round(Math.min(88, Math.max(22, rhPercent))),
    }),
  };
}

const firstHour = Date.parse('2025-01-04T00:00:00Z') / 3_600_000;
const rank = { entry: -1, standard: 0, high: 1 } as const;
