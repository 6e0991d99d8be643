import type { Random } from '../../../seed/random.ts';
import { type PlannedJobInput, plannedJob } from '../../../src/domain/planned.ts';
import type { Area, BodyStyle, Brush, DryingAid, Fabric, Method, Soil, Stain } from '../../../src/domain/vocabulary.ts';
import type { JobSetting, Person, ShopCharacter, SimulationOptions, Tool } from './types.ts';

interface Surroundings {
  readonly people: readonly Person[];
  readonly tools: readonly Tool[];
  readonly character: ShopCharacter;
  readonly startHour: number;
  readonly options: SimulationOptions;
}

/** One job of the mix: what comes in, who takes it with which machine, and the air of that day. */
export function drawSetting(
  { people, tools, character, startHour, options }: Surroundings,
  random: Random,
): JobSetting {
  const bodyStyle = random.pick<BodyStyle>({
    sedan: 4,
    hatchback: 3,
    suv: 3,
    wagon: 2,
    minivan: 2,
    'suv-3row': 1,
    coupe: 1,
  });
  const dirt = random.normal();
  const spotJob = random.chance(0.12);
  const sections = areasFor(random).map((area) => drawSection(area, bodyStyle, dirt, spotJob, random));
  const [first, second] = [
    Math.floor(random.uniform() * people.length),
    1 + Math.floor(random.uniform() * (people.length - 1)),
  ];
  const mate = random.chance(0.08) ? people[(first + second) % people.length] : undefined;
  const person = people[first] as Person; // first is below the count
  const tool = spotJob ? undefined : chooseTool(tools, dirt, options.harderToBetter ?? false, random);
  const planned: PlannedJobInput = {
    bodyStyle,
    seatsRemoved: !spotJob && random.chance(0.45),
    extractor: tool?.key ?? null,
    technician: person.key,
    crew: mate ? 2 : 1,
    startAt: new Date(startHour * 3_600_000).toISOString(),
    sections,
    drying: drawAir(startHour, random),
  };
  return { planned: plannedJob.parse(planned), person, mate, tool, character, startHour };
}

function areasFor(random: Random): Area[] {
  const kind = random.pick({ seats: 6, floor: 2, one: 2 });
  if (kind === 'one') return [random.pick<Area>({ 'front-seat': 2, 'rear-bench': 2, 'floor-carpet': 2, cargo: 1 })];
  const seats: Area[] = ['front-seat', 'rear-bench'];
  return kind === 'seats'
    ? seats
    : [...seats, 'floor-carpet', ...(random.chance(0.4) ? (['floor-mats'] as Area[]) : [])];
}

function drawSection(
  area: Area,
  bodyStyle: BodyStyle,
  dirt: number,
  spotJob: boolean,
  random: Random,
): PlannedJobInput['sections'][number] {
  const floor = area === 'floor-carpet' || area === 'floor-mats' || area === 'cargo';
  const fabric = random.pick<Fabric>(
    floor ? { 'cut-pile': 3, 'loop-carpet': 2 } : { 'flat-woven': 5, knit: 3, velour: 2, 'suede-like': 1 },
  );
  const stains = stainsFor(random);
  const method: Method = spotJob
    ? 'spot'
    : stains.length > 0 && random.chance(0.4)
      ? 'spot-then-extraction'
      : 'extraction';
  return {
    area,
    count: area === 'front-seat' ? 2 : area === 'floor-mats' ? 4 : 1,
    surfaceM2: Math.round(100 * baseM2[area] * bodySize[bodyStyle] * random.spread(0.08)) / 100,
    fabric,
    soil: soilFor(dirt + 0.5 * random.normal() + (floor ? 0.2 : 0)),
    stains,
    method,
    brush: random.pick<Brush>({ none: 1, soft: 4, medium: 3, stiff: floor ? 2 : 0 }),
  };
}

function chooseTool(tools: readonly Tool[], dirt: number, harderToBetter: boolean, random: Random): Tool | undefined {
  const pull = harderToBetter ? 1.1 * dirt : 0;
  const weights = Object.fromEntries(tools.map(({ key, grade }) => [key, Math.exp(pull * rank[grade])]));
  const key = random.pick<string>(weights);
  return tools.find((tool) => tool.key === key);
}

/** Heated bay in winter, warm and damper in summer; as a thermometer and a hygrometer would be read. */
function drawAir(startHour: number, random: Random): NonNullable<PlannedJobInput['drying']> {
  const season = -Math.cos((2 * Math.PI * (startHour / 24 - 19)) / 365.25);
  const aid = random.pick<DryingAid>({ 'still-air': 2, 'open-doors': 3, fan: 3, dehumidifier: 1, 'warm-room': 1 });
  const warmer = aid === 'warm-room' ? 6 : 0;
  const dryer = aid === 'dehumidifier' ? 12 : aid === 'warm-room' ? 8 : 0;
  return {
    aid,
    airC: Math.round(19 + 4 * season + warmer + 1.5 * random.normal()),
    rhPercent: Math.round(Math.min(85, Math.max(25, 54 + 4 * season - dryer + 7 * random.normal()))),
  };
}

function stainsFor(random: Random): Stain[] {
  const found = new Set<Stain>();
  for (let n = random.poisson(0.5); n > 0; n -= 1)
    found.add(random.pick<Stain>({ drink: 4, food: 3, oil: 2, pet: 2, mud: 2, dye: 1 }));
  return [...found];
}

function soilFor(score: number): Soil {
  if (score < -0.9) return 'light';
  if (score < 0.75) return 'moderate';
  return score < 1.8 ? 'heavy' : 'severe';
}

const rank = { entry: -1, standard: 0, high: 1 } as const;
const baseM2: Readonly<Record<Area, number>> = {
  'front-seat': 1.65,
  'rear-bench': 1.75,
  'third-row': 1.4,
  'floor-carpet': 2.3,
  'floor-mats': 1,
  cargo: 1.25,
  'door-insert': 0.8,
  headliner: 2,
};
const bodySize: Readonly<Record<BodyStyle, number>> = {
  coupe: 0.9,
  hatchback: 0.95,
  sedan: 1,
  wagon: 1.05,
  suv: 1.1,
  'suv-3row': 1.2,
  minivan: 1.3,
  pickup: 1,
  van: 1.3,
};
