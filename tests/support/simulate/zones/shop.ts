/*
 * One long file, the shop, its mix and its papers: written blind from the trade's description by one hand, and kept as it was written, so that it stays blind.
 */
/** A fifth invented shop, written blind: zones of soil, two layers of water, a day that has a night. See `work.ts`. */
import { createRandom, type Random } from '../../../../seed/random.ts';
import type { Machine, Technician } from '../../../../src/domain/lists.ts';
import type { PlannedJob, PlannedSection } from '../../../../src/domain/planned.ts';
import type { DryingCheck, FinishedJob, Section } from '../../../../src/domain/record.ts';
import type {
  Area,
  BodyStyle,
  Brush,
  DryingAid,
  Fabric,
  Grade,
  Method,
  Soil,
  Stain,
} from '../../../../src/domain/vocabulary.ts';
import type { Person, PlannedCase, SimulatedShop, Tool } from '../types.ts';
import {
  bodySize,
  type Hand,
  outdoorMeanC,
  pieceM2,
  type Setting,
  type Shop,
  type Wand,
  type Work,
  work,
  yearOf,
} from './work.ts';

const hourOf = (iso: string): number => Date.parse(iso) / 3.6e6;
const endHour = hourOf('2026-01-01T00:00:00Z');
const round = (value: number, step: number): number => Number((Math.round(value / step) * step).toFixed(3));
const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));

interface Papers {
  readonly litres: number;
  readonly litreStep: number;
  readonly closely: number;
  readonly checks: number;
  readonly surfaces: number;
  readonly air: number;
  readonly aid: number;
  readonly minuteStep: number;
  readonly dryPasses: number;
  readonly bySection: number;
  readonly slips: number;
}

interface Trade {
  readonly bodies: Readonly<Record<BodyStyle, number>>;
  readonly soils: Readonly<Record<Soil, number>>;
  readonly seatsOut: number;
  readonly wholeCar: number;
  readonly spot: number;
  readonly preSpot: number;
  readonly crew: number;
  readonly usualMix: number;
  readonly heats: boolean;
  readonly harderToBetter: number;
}

function makeShop(random: Random): { shop: Shop; papers: Papers; trade: Trade } {
  const w = (mean: number, sd = 0.4) => mean * random.spread(sd);
  const shop: Shop = {
    offsetHours: [-6, -5, 0, 1, 2][Math.floor(random.uniform() * 5)] as number,
    yearMeanC: random.between(8, 18),
    yearSwingC: random.between(6, 12),
    damp: random.between(0.58, 0.76),
    bayC: random.between(16, 21),
    fanSpeed: random.between(0.9, 2),
    fanOverNight: random.chance(0.6),
    load: random.spread(0.14),
    strict: 0.08 * random.normal(),
    minutes: 0.93 * random.spread(0.1),
    spray: random.spread(0.13),
    ventilation: random.spread(0.16),
    aids: {
      'still-air': w(0.14, 0.6),
      'open-doors': w(0.24, 0.5),
      fan: w(0.36),
      dehumidifier: w(0.1, 0.8),
      'warm-room': w(0.08, 0.8),
      sun: w(0.08, 0.6),
    },
  };
  const papers: Papers = {
    litres: random.between(0.25, 0.6),
    litreStep: random.pick({ '0.1': 0.2, '0.5': 0.5, '1': 0.3 }) === '0.1' ? 0.1 : random.chance(0.62) ? 0.5 : 1,
    closely: random.chance(0.4) ? 0.06 : 0,
    checks: random.between(0.35, 0.7),
    surfaces: random.between(0.1, 0.5),
    air: random.between(0.2, 0.6),
    aid: random.between(0.75, 0.97),
    minuteStep: random.chance(0.6) ? 5 : random.chance(0.6) ? 15 : 10,
    dryPasses: random.between(0.7, 0.98),
    bySection: random.between(0.4, 0.9),
    slips: random.between(0.01, 0.03),
  };
  const trade: Trade = {
    bodies: {
      coupe: w(0.05),
      hatchback: w(0.16),
      sedan: w(0.28),
      wagon: w(0.1),
      suv: w(0.17),
      'suv-3row': w(0.07),
      minivan: w(0.08),
      pickup: w(0.06),
      van: w(0.04),
    },
    soils: { light: w(0.2, 0.25), moderate: w(0.45, 0.2), heavy: w(0.26, 0.25), severe: w(0.09, 0.3) },
    seatsOut: random.between(0.15, 0.6),
    wholeCar: random.between(0.3, 0.65),
    spot: random.between(0.08, 0.22),
    preSpot: random.between(0.3, 0.7),
    crew: random.between(0.08, 0.3),
    usualMix: [16, 20, 20, 24, 30][Math.floor(random.uniform() * 5)] as number,
    heats: random.chance(0.6),
    harderToBetter: random.between(0, 0.8),
  };
  return { shop, papers, trade };
}

function makeHands(random: Random, firstHour: number): Hand[] {
  const n = 4 + Math.floor(random.uniform() * 3);
  const span = endHour - firstHour;
  return Array.from({ length: n }, (_, i): Hand => {
    // The last comes in the middle of the record; in some shops another one shortly before its end.
    const late =
      i === n - 1 ? random.between(0.4, 0.75) : i === n - 2 && random.chance(0.4) ? random.between(0.8, 0.95) : 0;
    return {
      key: `t${i + 1}`,
      fromHour: late === 0 ? firstHour - 24 * 365 * random.between(1, 8) : firstHour + span * late,
      green: late === 0 ? 0 : random.between(0.6, 1),
      pace: random.spread(0.13),
      skill: random.spread(0.05),
      trigger: random.spread(0.18),
      seal: random.spread(0.08),
      dryPerWet: random.between(0.45, 1.5),
      bias: 0.13 * random.normal(),
      patience: 3 + Math.floor(random.uniform() * 3),
      safety: random.between(0.02, 0.17),
      alwaysTwo: random.chance(0.25) ? random.between(0.25, 0.6) : random.between(0, 0.12),
    };
  });
}

const ofGrade: Record<
  Grade,
  {
    lift: number;
    spray: number;
    suck: number;
    floor: number;
    minutes: number;
    kpa: number;
    airflow: number;
    price: number;
  }
> = {
  entry: { lift: 0.48, spray: 0.52, suck: 0.62, floor: 0.36, minutes: 1.14, kpa: 18, airflow: 110, price: 420 },
  standard: { lift: 0.57, spray: 0.62, suck: 0.74, floor: 0.27, minutes: 1, kpa: 25, airflow: 170, price: 1500 },
  high: { lift: 0.67, spray: 0.74, suck: 0.85, floor: 0.19, minutes: 0.88, kpa: 36, airflow: 230, price: 4200 },
};

function makeWands(random: Random, firstHour: number): Wand[] {
  const grades: Grade[] = random.chance(0.5)
    ? ['standard', random.chance(0.5) ? 'high' : 'entry']
    : random.chance(0.7)
      ? ['entry', 'standard', 'high']
      : ['standard', 'standard', 'high'];
  return grades.map((grade, i): Wand => {
    const is = ofGrade[grade];
    const bought = i === grades.length - 1 && random.chance(0.35) ? random.between(0.3, 0.85) : 0;
    return {
      key: `x${i + 1}`,
      grade,
      fromHour: bought === 0 ? firstHour - 24 * random.between(200, 1200) : firstHour + (endHour - firstHour) * bought,
      lift: is.lift * random.spread(0.04),
      spray: is.spray * random.spread(0.09),
      suck: Math.min(0.9, is.suck * random.spread(0.04)),
      floor: is.floor * random.spread(0.08),
      minutes: is.minutes * random.spread(0.04),
      wear: random.between(0.02, 0.14),
      serviceHours: 24 * random.between(200, 420),
    };
  });
}

const fabricOf = (area: Area, seats: Fabric, floor: Fabric): Fabric =>
  area === 'headliner'
    ? 'headlining'
    : area === 'floor-carpet' || area === 'floor-mats' || area === 'cargo'
      ? floor
      : seats;

/** What stands on the job sheet before the work: all that is named here is known; what is left out is chance. */
function planJob(
  shop: Shop,
  papers: Papers,
  trade: Trade,
  hands: readonly Hand[],
  wands: readonly Wand[],
  startHour: number,
  random: Random,
): Setting {
  const bodyStyle = random.pick(trade.bodies);
  const carSoil = random.pick(trade.soils);
  const order: Soil[] = ['light', 'moderate', 'heavy', 'severe'];
  const seatFabric = random.pick<Fabric>({ 'flat-woven': 0.42, knit: 0.22, velour: 0.22, 'suede-like': 0.14 });
  const floorFabric = random.pick<Fabric>({ 'cut-pile': 0.55, 'loop-carpet': 0.45 });
  const modelYear = Math.round(clamp(yearOf(startHour) + 0.4 - 7.5 * random.spread(0.65), 1985, yearOf(startHour)));
  const areas: Area[] = [];
  if (random.chance(trade.wholeCar)) {
    areas.push('front-seat', ...(bodyStyle === 'coupe' || bodyStyle === 'pickup' ? [] : (['rear-bench'] as const)));
    if ((bodyStyle === 'suv-3row' || bodyStyle === 'minivan') && random.chance(0.8)) areas.push('third-row');
    if (random.chance(0.45)) areas.push('floor-carpet');
    if (random.chance(0.4)) areas.push('floor-mats');
    if (random.chance(0.2)) areas.push('cargo');
    if (random.chance(0.2)) areas.push('door-insert');
    if (random.chance(0.1)) areas.push('headliner');
  } else {
    const first = random.pick<Area>({
      'front-seat': 0.5,
      'rear-bench': 0.25,
      'floor-carpet': 0.12,
      cargo: 0.05,
      headliner: 0.04,
      'third-row': 0.04,
    });
    areas.push(first === 'third-row' && bodyStyle !== 'minivan' && bodyStyle !== 'suv-3row' ? 'rear-bench' : first);
    if (random.chance(0.35) && !areas.includes('floor-mats')) areas.push('floor-mats');
    if (random.chance(0.15)) areas.push('door-insert');
  }
  const surfacesKnown = random.chance(papers.surfaces);
  const sections = areas.map((area): PlannedSection => {
    const shift = random.chance(0.3) ? (random.chance(0.5) ? 1 : -1) : 0;
    const soil = order[clamp(order.indexOf(carSoil) + shift, 0, 3)] as Soil;
    const nStains = Math.min(3, random.poisson({ light: 0.25, moderate: 0.6, heavy: 1.1, severe: 1.6 }[soil]));
    const stains = [
      ...new Set(
        Array.from({ length: nStains }, () =>
          random.pick<Stain>({
            drink: 0.28,
            food: 0.2,
            oil: 0.08,
            protein: 0.07,
            pet: 0.1,
            mud: 0.12,
            dye: 0.03,
            smoke: 0.03,
            unknown: 0.09,
          }),
        ),
      ),
    ];
    const method: Method =
      area === 'headliner' ||
      (area === 'door-insert' && random.chance(0.7)) ||
      random.chance(trade.spot * (soil === 'light' ? 2 : soil === 'moderate' ? 1 : 0.3))
        ? 'spot'
        : stains.length > 0 && random.chance(trade.preSpot)
          ? 'spot-then-extraction'
          : 'extraction';
    const fabric = fabricOf(area, seatFabric, floorFabric);
    const brush = random.pick<Brush>(
      fabric === 'cut-pile' || fabric === 'loop-carpet'
        ? { none: 0.15, soft: 0.2, medium: 0.45, stiff: 0.2 }
        : fabric === 'headlining'
          ? { none: 0.5, soft: 0.5 }
          : { none: 0.1, soft: 0.65, medium: 0.25 },
    );
    const count =
      area === 'front-seat'
        ? random.chance(0.85)
          ? 2
          : 1
        : area === 'floor-mats'
          ? random.chance(0.8)
            ? 4
            : 2
          : area === 'door-insert'
            ? bodyStyle === 'coupe'
              ? 2
              : 4
            : 1;
    const m2 = pieceM2[area] * count * bodySize[bodyStyle] * random.spread(0.11);
    return {
      area,
      count,
      fabric,
      soil,
      stains,
      method,
      brush,
      ...(surfacesKnown ? { surfaceM2: Math.max(0.1, round(m2, 0.1)) } : {}),
    };
  });
  const seatWork = sections.filter(
    ({ area, method }) => method !== 'spot' && (area === 'front-seat' || area === 'rear-bench' || area === 'third-row'),
  );
  const seatsRemoved =
    seatWork.length > 0 &&
    random.chance(trade.seatsOut * (areas.includes('floor-carpet') ? 1.4 : 0.8) * (seatWork.length > 1 ? 1.2 : 0.5));
  const free = hands.filter(({ fromHour }) => fromHour <= startHour);
  const rank = order.indexOf(carSoil) - 1;
  const lead = free[
    Number(
      random.pick(
        Object.fromEntries(
          free.map(({ green }, i) => [String(i), (1 / (1 + i * 0.15)) * (green > 0 && rank > 0 ? 0.6 : 1)]),
        ),
      ),
    )
  ] as Hand;
  const others = free.filter((hand) => hand !== lead);
  const big = sections.length >= 3;
  const mate =
    others.length > 0 && random.chance(trade.crew * (big ? 1.8 : 0.5))
      ? others[Math.floor(random.uniform() * others.length)]
      : undefined;
  const ready = wands.filter(({ fromHour }) => fromHour <= startHour);
  const needsWand = sections.some(({ method }) => method !== 'spot');
  const better: Record<Grade, number> = { entry: -1, standard: 0, high: 1 };
  const wand = needsWand
    ? ready[
        Number(
          random.pick(
            Object.fromEntries(
              ready.map(({ grade }, i) => [
                String(i),
                Math.exp(0.3 * better[grade] + trade.harderToBetter * rank * better[grade]),
              ]),
            ),
          ),
        )
      ]
    : undefined;
  const airKnown = random.chance(papers.air);
  const sunny = outdoorMeanC(shop, startHour) > 14;
  const aid = random.pick<DryingAid>({
    ...shop.aids,
    sun: sunny ? (shop.aids.sun ?? 0) * 2 : 0.001,
    'warm-room': (shop.aids['warm-room'] ?? 0) * (sunny ? 0.5 : 1.6),
  });
  const warmC = trade.heats ? 48 : 34;
  const base: PlannedJob = {
    bodyStyle,
    ...(random.chance(0.85) ? { modelYear } : {}),
    seatsRemoved,
    extractor: wand?.key ?? null,
    ...(random.chance(0.7) ? { dilution: random.chance(0.8) ? trade.usualMix : trade.usualMix + 8 } : {}),
    ...(random.chance(0.35) && wand !== undefined
      ? { solutionC: round(clamp(warmC + 6 * random.normal(), 12, 65), 1) }
      : {}),
    finalVacuum: random.chance(0.72),
    sections,
    drying: { aid },
    startAt: isoAt(shop, startHour),
    technician: lead.key,
    crew: mate === undefined ? 1 : 2,
    alternatives: [],
  };
  const setting: Setting = { planned: base, lead, mate, wand, shop, startHour };
  if (!airKnown) return setting;
  // A thermometer in the bay, read before the drying: the plan then knows the air.
  const looked = work(setting, random);
  const drying = {
    aid,
    airC: round(clamp(looked.airC, -15, 55), 1),
    rhPercent: round(clamp(looked.rh, 12, 97), 5),
    ...(random.chance(0.15) ? { airSpeedMs: round(looked.speed, 0.1) } : {}),
  };
  return { ...setting, planned: { ...base, drying } };
}

function isoAt({ offsetHours }: Shop, hour: number): string {
  const local = new Date(Math.round((hour + offsetHours) * 60) * 60_000).toISOString().slice(0, 19);
  return `${local}${offsetHours < 0 ? '-' : '+'}${String(Math.abs(offsetHours)).padStart(2, '0')}:00`;
}

/** The work goes on the next morning where it does not end before seven in the evening. */
function finishOf(shop: Shop, startHour: number, wallHours: number): number {
  let [at, rest] = [startHour, wallHours];
  for (;;) {
    const local = (((at + shop.offsetHours) % 24) + 24) % 24;
    const today = Math.max(0.5, 19 - local);
    if (rest <= today) return at + rest;
    rest -= today;
    at += 24 - local + 8;
  }
}

function checksOf(shop: Shop, finishedHour: number, trueHours: number, random: Random): DryingCheck[] {
  const local = (((finishedHour + shop.offsetHours) % 24) + 24) % 24;
  const toMorning = 24 - local + random.between(7.6, 9);
  const closing = 18.5 - local;
  const times = [
    random.between(1, 3),
    random.between(3, 5),
    closing,
    toMorning,
    toMorning + random.between(3, 5),
    toMorning + random.between(7, 9),
    toMorning + 24,
    toMorning + 48,
    toMorning + 72,
  ]
    .filter(
      (t, i) =>
        t > 0.5 &&
        (i > 2 || t <= Math.max(closing, 0)) &&
        random.chance([0.5, 0.6, 0.7, 0.85, 0.5, 0.7, 0.8, 0.8, 0.8][i] as number),
    )
    .sort((a, b) => a - b);
  const felt = trueHours * random.spread(0.07); // the hand or the meter of that day
  const checks: DryingCheck[] = [];
  const stopsAfter = random.chance(0.15) ? 1 : 9;
  for (const t of times) {
    const hours = round(t, t < 6 ? 0.25 : 0.5);
    if (checks.some((check) => check.hours >= hours)) continue;
    checks.push({ hours, dry: hours >= felt });
    if (hours >= felt || checks.length >= stopsAfter) break;
  }
  return checks;
}

function writeDown(setting: Setting, done: Work, papers: Papers, ref: string, random: Random): FinishedJob {
  const { planned, lead, mate, shop } = setting;
  const { outcome } = done;
  const finishedHour = finishOf(shop, setting.startHour, done.wallHours);
  const slip = random.chance(papers.slips);
  const total =
    outcome.hours * 60 * (slip && random.chance(0.4) ? (random.pick({ '0.5': 1, '2': 1 }) === '2' ? 2 : 0.5) : 1);
  const share = mate === undefined ? 1 : clamp(0.55 + 0.06 * random.normal(), 0.5, 0.8);
  const minutesOf = (part: number) =>
    clamp(round(total * part * (1 + 0.015 * random.normal()), papers.minuteStep), papers.minuteStep, 2000);
  const labour = [
    { technician: lead.key, minutes: minutesOf(share) },
    ...(mate === undefined
      ? []
      : [{ technician: mate.key, minutes: Math.min(minutesOf(1 - share), minutesOf(share)) }]),
  ];

  const extractedAny = setting.wand !== undefined;
  const measured = extractedAny && random.chance(papers.litres);
  const closely = measured && random.chance(papers.closely);
  const read = (litres: number) => Math.max(0, round(litres, papers.litreStep));
  const jobLitres = () => {
    const put = read(outcome.sprayedLitres * random.spread(0.02) + 0.1 * random.uniform());
    const back = read(Math.max(0, outcome.recoveredLitres * random.spread(0.02) - random.between(0, 0.25)));
    return slip && random.chance(0.4)
      ? { sprayedLitres: back, recoveredLitres: put }
      : { sprayedLitres: put, recoveredLitres: back };
  };
  const writesDry = random.chance(papers.dryPasses);
  const namesHands = mate !== undefined && random.chance(papers.bySection);
  const sections = planned.sections.map((section, i): Section => {
    const came = outcome.sections[i] as Work['outcome']['sections'][number];
    const detail = done.sections[i] as Work['sections'][number];
    const extraction = section.method !== 'spot';
    // A little soil left in a corner is sometimes handed over as clean.
    const passed = came.clean || random.chance(0.7 * Math.exp(-Math.max(0, detail.overLog) / 0.12));
    const { dryPasses: _, technician: __, ...asSeen } = section;
    return {
      ...asSeen,
      wetPasses: came.made,
      ...(section.method === 'spot-then-extraction' && random.chance(0.8) ? { spotRounds: detail.spotRounds } : {}),
      ...(extraction && writesDry ? { dryPasses: came.dryPasses } : {}),
      ...(closely && extraction
        ? { sprayedLitres: round(detail.sprayed, 0.1), recoveredLitres: round(detail.recovered, 0.1) }
        : {}),
      ...(namesHands ? { technician: detail.by.key } : {}),
      result: passed ? 'clean' : random.chance(0.93) ? 'improved' : 'unchanged',
    };
  });
  const dryHours = outcome.dryingHours;
  const checks = random.chance(papers.checks) ? checksOf(shop, finishedHour, dryHours, random) : [];
  const namesAid = random.chance(papers.aid);
  const drying = { ...(namesAid || checks.length > 0 ? { ...planned.drying } : {}), checks };
  if (!namesAid) delete drying.aid;
  const comebackRisk = 0.02 + (dryHours > 24 ? 0.06 : 0) + (outcome.wettestPerM2 > 0.7 ? 0.05 : 0);
  const comeback = random.chance(comebackRisk)
    ? random.pick({ 'wick-back': 0.45, odour: 0.2, ring: 0.2, 'still-damp': 0.15 })
    : 'none';
  const allClean = sections.every(({ result }) => result === 'clean');
  const guess = 0.8 + 0.55 * planned.sections.length + (planned.seatsRemoved ? 0.8 : 0);
  const {
    startAt: _s,
    technician: _t,
    crew: _c,
    alternatives: _a,
    labourRate: _l,
    materials: _m,
    sections: _p,
    drying: _d,
    ...head
  } = planned;
  return {
    ...head,
    ref,
    finishedAt: isoAt(shop, finishedHour),
    labour,
    ...(measured && !closely ? jobLitres() : {}),
    sections,
    ...(namesAid || checks.length > 0 ? { drying } : {}),
    ...(random.chance(0.6) ? { quoted: { hours: round(guess, 0.5), price: round(guess * 55, 5) } } : {}),
    ...(random.chance(0.8)
      ? {
          outcome: {
            handover: allClean ? ('clean' as const) : ('improved' as const),
            comeback,
            damage: random.chance(0.006) ? ('pilling' as const) : ('none' as const),
          },
        }
      : {}),
  };
}

export function simulateZones(seed: number, nJobs: number): SimulatedShop {
  const base = createRandom(seed, 70_001);
  const { shop, papers, trade } = makeShop(base);
  const days = Math.max(20, Math.round((nJobs / 20) * 30.44));
  const firstHour = endHour - 24 * (days + 2);
  const hands = makeHands(base, firstHour);
  const wands = makeWands(base, firstHour);

  const startOn = (day: number, random: Random): number => {
    const weekday = new Date(day * 86_400_000).getUTCDay();
    const worked = weekday === 0 ? day + 1 : day; // no Sundays
    return (
      worked * 24 -
      shop.offsetHours +
      Math.round(
        random.pick({ '8': 0.45, '10': 0.15, '11': 0.12, '13': 0.28 }) === '8' ? 8 * 4 : 4 * random.between(9.5, 14),
      ) /
        4
    );
  };
  const lastDay = endHour / 24 - 4; // the 28th of December, so that long jobs end within the year
  const done = Array.from({ length: nJobs }, (_, i) => {
    const random = createRandom(seed, 100_000 + i);
    const day = Math.floor(lastDay - days + ((i + random.uniform()) / nJobs) * days);
    const setting = planJob(shop, papers, trade, hands, wands, startOn(day, random), random);
    const came = work(setting, random);
    return { setting, came, i, finished: finishOf(shop, setting.startHour, came.wallHours) };
  }).sort((a, b) => a.finished - b.finished || a.i - b.i);
  const records = done.map(({ setting, came, i }, place) =>
    writeDown(setting, came, papers, `J${String(place + 1).padStart(5, '0')}`, createRandom(seed, 300_000 + i)),
  );

  const dayOf = (hour: number) => new Date(hour * 3.6e6).toISOString().slice(0, 10);
  const technicians: Technician[] = hands.map(({ key, fromHour, green }, i) => ({
    key,
    name: `Invented technician ${i + 1}`,
    ...(green > 0 ? { from: dayOf(fromHour - 24) } : {}),
  }));
  const machines: Machine[] = wands.map(({ key, grade, fromHour }, i) => ({
    key,
    name: `Invented extractor ${i + 1}`,
    kind: 'extractor',
    grade,
    waterLiftKpa: ofGrade[grade].kpa,
    airflowM3h: ofGrade[grade].airflow,
    heated: trade.heats,
    price: ofGrade[grade].price,
    ...(fromHour > firstHour ? { from: dayOf(fromHour - 24) } : {}),
  }));
  const people: Person[] = hands.map((hand) => ({
    key: hand.key,
    pace: hand.pace,
    wet: hand.trigger ** 0.45 / hand.seal ** 0.9,
    dryRatio: hand.dryPerWet,
    eye: Math.exp(hand.bias),
    dryingHabit: 1,
  }));
  const tools: Tool[] = wands.map((wand) => ({
    key: wand.key,
    grade: wand.grade,
    passes: Math.log(1 - ofGrade.standard.lift) / Math.log(1 - wand.lift),
    time: wand.minutes,
    water: wand.floor / ofGrade.standard.floor,
  }));

  const plan = (i: number): PlannedCase => {
    const random = createRandom(seed, 600_000 + i);
    const day = Math.floor(endHour / 24 + 1 + random.uniform() * 27);
    const setting = planJob(shop, papers, trade, hands, wands, startOn(day, random), random);
    const came = work(setting, random);
    return {
      planned: setting.planned,
      draw: (chance) => work(setting, chance).outcome,
      outcome: came.outcome,
      record: writeDown(setting, came, papers, `P${String(i + 1).padStart(5, '0')}`, random),
    };
  };
  return {
    technicians,
    machines,
    records,
    outcomes: done.map(({ came }) => came.outcome),
    truth: { people, tools, character: { soil: 1, time: 1, water: 1, drying: 1 } },
    withTool: (i, tool, random) => {
      const job = done[i];
      const wand = wands.find(({ key }) => key === tool);
      if (job?.setting.wand === undefined || wand === undefined) return undefined;
      return work({ ...job.setting, wand, planned: { ...job.setting.planned, extractor: wand.key } }, random).outcome;
    },
    plan,
  };
}
