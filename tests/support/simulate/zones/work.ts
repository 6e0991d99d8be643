/*
 * One long file, the mechanism: written blind from the trade's description by one hand, and kept as it was written, so that it stays blind.
 */
import type { Random } from '../../../../seed/random.ts';
import type { PlannedJob, PlannedSection } from '../../../../src/domain/planned.ts';
import type {
  Area,
  BodyStyle,
  Brush,
  DryingAid,
  Fabric,
  Grade,
  Soil,
  Stain,
} from '../../../../src/domain/vocabulary.ts';
import type { Outcome, SectionOutcome } from '../types.ts';
import { type AirHour, hoursToDry, saturationPa, wetRate } from './physics.ts';

export interface Hand {
  readonly key: string;
  readonly fromHour: number;
  /** 0 for an old hand; how much of a beginner on the first day. */
  readonly green: number;
  readonly pace: number;
  /** Share of the soil taken per pass, against the shop's mean. */
  readonly skill: number;
  /** Water put down per pass. */
  readonly trigger: number;
  /** How well the nozzle lies on. */
  readonly seal: number;
  readonly dryPerWet: number;
  /** Stops while the worst place is still this much (log) over clean; negative: stricter. */
  readonly bias: number;
  readonly patience: number;
  readonly safety: number;
  readonly alwaysTwo: number;
}

export interface Wand {
  readonly key: string;
  readonly grade: Grade;
  readonly fromHour: number;
  readonly lift: number;
  readonly spray: number;
  readonly suck: number;
  readonly floor: number;
  readonly minutes: number;
  /** Share of its suction lost between two services, and hours between them. */
  readonly wear: number;
  readonly serviceHours: number;
}

export interface Shop {
  readonly offsetHours: number;
  readonly yearMeanC: number;
  readonly yearSwingC: number;
  readonly damp: number;
  readonly bayC: number;
  readonly fanSpeed: number;
  readonly fanOverNight: boolean;
  readonly load: number;
  readonly strict: number;
  readonly minutes: number;
  readonly spray: number;
  readonly ventilation: number;
  readonly aids: Readonly<Partial<Record<DryingAid, number>>>;
}

export interface Setting {
  readonly planned: PlannedJob;
  readonly lead: Hand;
  readonly mate: Hand | undefined;
  readonly wand: Wand | undefined;
  readonly shop: Shop;
  readonly startHour: number;
}

export interface SectionDetail {
  readonly surface: number;
  readonly sprayed: number;
  readonly recovered: number;
  readonly spotRounds: number;
  readonly by: Hand;
  readonly overLog: number;
}

export interface Work {
  readonly outcome: Outcome;
  readonly sections: readonly SectionDetail[];
  readonly aid: DryingAid;
  readonly airC: number;
  readonly rh: number;
  readonly speed: number;
  readonly wallHours: number;
}

export const pieceM2: Record<Area, number> = {
  'front-seat': 0.85,
  'rear-bench': 1.6,
  'third-row': 1.3,
  'floor-carpet': 2.4,
  'floor-mats': 0.27,
  cargo: 1.1,
  'door-insert': 0.22,
  headliner: 2.1,
};
export const bodySize: Record<BodyStyle, number> = {
  coupe: 0.88,
  hatchback: 0.95,
  sedan: 1,
  wagon: 1.06,
  suv: 1.12,
  'suv-3row': 1.2,
  minivan: 1.27,
  pickup: 1.03,
  van: 1.25,
};
/** Corners, piping, reach: minutes against an open floor. */
const nooks: Record<Area, number> = {
  'front-seat': 1.3,
  'rear-bench': 1.12,
  'third-row': 1.25,
  'floor-carpet': 0.82,
  'floor-mats': 0.62,
  cargo: 0.8,
  'door-insert': 1.35,
  headliner: 1.3,
};
const behind: Record<Area, { holds: number; climb: number }> = {
  'front-seat': { holds: 3, climb: 0.3 },
  'rear-bench': { holds: 3, climb: 0.28 },
  'third-row': { holds: 2.6, climb: 0.28 },
  'floor-carpet': { holds: 2.2, climb: 0.2 },
  'floor-mats': { holds: 0.5, climb: 0.2 },
  cargo: { holds: 1.2, climb: 0.22 },
  'door-insert': { holds: 0.5, climb: 0.15 },
  headliner: { holds: 0.5, climb: 0.15 },
};
interface Cloth {
  holds: number;
  takes: number;
  bound: number;
  through: number;
  open: number;
}
const cloths: Record<Fabric, Cloth> = {
  'flat-woven': { holds: 0.4, takes: 1, bound: 0.1, through: 1, open: 0.95 },
  knit: { holds: 0.48, takes: 0.97, bound: 0.12, through: 1.25, open: 0.92 },
  velour: { holds: 0.62, takes: 0.9, bound: 0.16, through: 0.8, open: 0.82 },
  'suede-like': { holds: 0.5, takes: 0.92, bound: 0.14, through: 0.7, open: 0.85 },
  'loop-carpet': { holds: 0.75, takes: 0.94, bound: 0.13, through: 0.8, open: 0.8 },
  'cut-pile': { holds: 0.95, takes: 0.86, bound: 0.18, through: 0.9, open: 0.72 },
  headlining: { holds: 0.3, takes: 0.95, bound: 0.12, through: 1.1, open: 0.9 },
};
const meanLoad: Record<Soil, number> = { light: 1.0, moderate: 1.75, heavy: 3.2, severe: 6 };
const brushTakes: Record<Brush, number> = { none: 0.93, soft: 1, medium: 1.05, stiff: 1.08 };
const brushMinutes: Record<Brush, number> = { none: 0, soft: 3.6, medium: 3.2, stiff: 3.4 };
/** How much a stain adds on its place, and the share of it that sits in the fibre. */
const stainLoad: Record<Stain, { adds: number; bound: number }> = {
  drink: { adds: 1.1, bound: 0.15 },
  food: { adds: 1.3, bound: 0.18 },
  oil: { adds: 1.4, bound: 0.4 },
  protein: { adds: 1.2, bound: 0.3 },
  pet: { adds: 1.4, bound: 0.4 },
  mud: { adds: 2.2, bound: 0.06 },
  dye: { adds: 1, bound: 0.7 },
  smoke: { adds: 0.6, bound: 0.3 },
  unknown: { adds: 1.1, bound: 0.25 },
};
const boundTakes = 0.5;
const highest = 11;

interface Zone {
  surface: number;
  bound: number;
  cloth: number;
  backing: number;
}

/** What is left of the beginner, 1 on the first day. */
const greenNow = (hand: Hand, hour: number): number =>
  hand.green * Math.exp(-Math.max(0, hour - hand.fromHour) / (24 * 110));

function wornSuction(wand: Wand, hour: number): number {
  const phase = ((hour - wand.fromHour) % wand.serviceHours) / wand.serviceHours;
  return 1 - wand.wear * Math.max(0, phase) ** 1.5;
}

const worst = (zones: readonly Zone[]): number =>
  zones.reduce((most, { surface, bound }) => Math.max(most, surface + bound), 0);

function soiledZones(section: PlannedSection, surface: number, age: number, load: number, random: Random): Zone[] {
  const n = Math.min(14, Math.max(2, Math.round(surface / 0.22)));
  const cloth = cloths[section.fabric];
  // What the judged class stands for, a whole section over; then place by place.
  const level = meanLoad[section.soil] * load * random.spread(0.22);
  const boundShare = Math.min(0.5, cloth.bound * (0.8 + 0.035 * Math.min(age, 20)) * random.spread(0.35));
  const zones = Array.from({ length: n }, (): Zone => {
    const here = level * random.spread(0.24);
    return { surface: here * (1 - boundShare), bound: here * boundShare, cloth: 0, backing: 0 };
  });
  for (const stain of section.stains) {
    const { adds, bound } = stainLoad[stain];
    const places = stain === 'smoke' ? n : random.chance(0.3) ? 2 : 1;
    for (let p = 0; p < places; p += 1) {
      const zone = zones[stain === 'smoke' ? p : Math.floor(random.uniform() * n)] as Zone;
      const more = adds * random.spread(0.4) * (stain === 'smoke' ? 0.6 : 1);
      zone.surface += more * (1 - bound);
      zone.bound += more * bound;
    }
  }
  return zones;
}

interface SectionRun {
  readonly outcome: SectionOutcome;
  readonly detail: SectionDetail;
  readonly minutes: number;
  readonly vacuumM2: number;
  readonly dryHours: number;
}

interface JobChance {
  readonly age: number;
  readonly chemistry: number;
  readonly wildWater: number;
  readonly rates: (h: number) => number;
}

function runSection(
  setting: Setting,
  section: PlannedSection,
  by: Hand,
  chance: JobChance,
  random: Random,
): SectionRun {
  const { shop, wand, planned, startHour } = setting;
  const cloth = cloths[section.fabric];
  const green = greenNow(by, startHour);
  const surface =
    section.surfaceM2 !== undefined
      ? section.surfaceM2 * random.spread(0.05)
      : pieceM2[section.area] * section.count * bodySize[planned.bodyStyle] * random.spread(0.11);
  const zones = soiledZones(section, surface, chance.age, shop.load, random);
  const n = zones.length;
  const perZone = surface / n;
  const brush = section.brush ?? 'soft';
  const machine = section.method !== 'spot' && wand !== undefined;
  const skill = by.skill * (1 - 0.08 * green);
  let [minutes, sprayed, recovered, rounds, covered] = [0, 0, 0, 0, 0];

  // Spots by hand: spray, brush, wipe.
  const byHand = (zone: Zone, part: number) => {
    zone.surface *= 1 - 0.45 * part * skill * brushTakes[brush] * chance.chemistry;
    zone.bound *= 1 - 0.32 * part * skill * brushTakes[brush] * chance.chemistry;
    const put = 0.13 * part * shop.spray * by.trigger ** 0.6 * random.spread(0.25);
    zone.cloth += put * 0.52;
    zone.backing += put * 0.05 * cloth.through;
  };
  if (section.method === 'spot-then-extraction') {
    rounds = 1 + (random.chance(0.55) ? 1 : 0) + (random.chance(0.15) ? 1 : 0);
    const limit = worst(zones) * 0.6;
    for (const zone of zones) {
      if (zone.surface + zone.bound < limit) continue;
      for (let r = 0; r < rounds; r += 1) byHand(zone, 0.8);
      minutes += 1.5 + 2.2 * rounds;
    }
  }

  const light = 0.06 + shop.strict + by.bias + 0.12 * green * (by.bias > 0 ? 1 : -1) + 0.12 * random.normal();
  const lift = machine ? wand.lift * (0.5 + 0.5 * wornSuction(wand, startHour)) : 0;
  const takes = Math.min(0.86, lift * cloth.takes * skill * brushTakes[brush] * chance.chemistry * random.spread(0.05));
  const clean = (zone: Zone, pass: number) => {
    if (!machine) return byHand(zone, 1);
    const part = pass === 0 ? takes * 0.93 : takes; // the first one also has to wet the cloth through
    zone.surface *= 1 - part;
    zone.bound *= 1 - part * boundTakes;
  };

  // What it would need, on a copy, whoever works it.
  const copy = zones.map((zone) => ({ ...zone }));
  let needed = 0;
  while (needed < 40 && (needed === 0 || worst(copy) > 1)) {
    for (const zone of copy) if (needed === 0 || zone.surface + zone.bound > 1) clean(zone, needed);
    needed += 1;
  }

  const sprayPer = machine
    ? wand.spray * shop.spray * by.trigger * (1 + 0.22 * green) * random.spread(0.12) * chance.wildWater
    : 0;
  const seal = by.seal * (1 - 0.1 * green) * random.spread(0.05);
  const suction = machine ? Math.min(0.94, wand.suck * seal * wornSuction(wand, startHour)) : 0;
  const floor = machine ? (cloth.holds * wand.floor) / Math.sqrt(seal * wornSuction(wand, startHour)) : 0;
  const draw = (zone: Zone, strength: number) => {
    const fromCloth = Math.max(0, zone.cloth - floor) * strength;
    const fromBacking = zone.backing * 0.2 * strength;
    zone.cloth -= fromCloth;
    zone.backing -= fromBacking;
    recovered += (fromCloth + fromBacking) * perZone;
  };
  const wet = (zone: Zone) => {
    const put = sprayPer * random.spread(0.1);
    sprayed += put * perZone;
    const through = Math.min(0.4, (0.03 + 0.06 * ((zone.cloth + put) / cloth.holds)) * cloth.through);
    zone.cloth += put * 0.98 * (1 - through); // two per cent is mist
    zone.backing += put * 0.98 * through;
    draw(zone, suction);
  };

  // Pass after pass, until it is judged clean, or given up.
  const touched: Zone[][] = [];
  let before = worst(zones);
  for (let safety = false; ; ) {
    const made = touched.length;
    const dirty = zones.filter((zone) => {
      const rest = zone.surface + zone.bound;
      return (
        made === 0 ||
        rest > 1 ||
        safety ||
        (made === 1 && random.chance(by.alwaysTwo)) ||
        random.chance(rest ** 4 * 0.5)
      );
    });
    for (const zone of dirty) {
      clean(zone, made);
      if (machine) wet(zone);
    }
    touched.push(dirty);
    covered += dirty.length * perZone;
    if (safety || made + 1 >= highest) break;
    const now = worst(zones);
    const looksDirty = Math.log(now) - light + 0.13 * random.normal() > 0;
    if (!looksDirty) {
      const onceMore = made === 0 && machine ? Math.max(by.alwaysTwo, by.safety) : by.safety * (1 + green) * 0.6;
      if (!random.chance(Math.min(0.9, onceMore))) break;
      safety = true;
    } else {
      const stuck = now / before > 0.8 ? 0.22 : 0;
      const tired = made + 1 > by.patience ? 0.2 + 0.08 * (made + 1 - by.patience) : 0.015;
      if (made > 0 && random.chance(stuck + tired)) break;
    }
    before = now;
  }
  const made = touched.length;

  let dryPasses = 0;
  if (machine) {
    const wish = by.dryPerWet * made * random.spread(0.22) * (1 - 0.25 * green);
    dryPasses = section.dryPasses ?? Math.min(20, Math.floor(wish + random.uniform()));
    // Suction works on what has just been wetted; the order of strokes matters little, so the dry ones come last.
    for (let d = 0; d < dryPasses; d += 1) {
      const where = d >= dryPasses - 2 ? zones : (touched[Math.min(made - 1, d)] as Zone[]);
      for (const zone of where) draw(zone, suction * 0.62);
      minutes += 2.3 * where.length * perZone * nooks[section.area];
    }
  }
  const finalVacuum = planned.finalVacuum ?? true;
  if (finalVacuum) {
    for (const zone of zones) {
      const off = Math.max(0, zone.cloth - 0.3 * cloth.holds) * 0.2;
      zone.cloth -= off;
      if (machine) recovered += off * perZone * 0.5;
    }
  }

  const perPass = machine ? 4.3 * wand.minutes : 3.7 * (section.area === 'headliner' ? 0.7 : 1);
  minutes += perPass * covered * nooks[section.area] + 0.8 * made;
  if (machine) minutes += brushMinutes[brush] * surface * nooks[section.area] + 0.9 * surface; // pre-spray, brush in
  minutes += 1.6 + 2.4 * section.stains.length + (finalVacuum ? 1.3 * surface : 0);
  minutes *= random.spread(0.12) * by.pace * (1 + 0.3 * green);

  const left = zones.reduce((sum, zone) => sum + (zone.cloth + zone.backing) * perZone, 0);
  const seam = random.spread(0.14);
  const slowest = zones.reduce((a, b) => (a.cloth + 0.7 * a.backing > b.cloth + 0.7 * b.backing ? a : b));
  const { holds, climb } = behind[section.area];
  const dryHours = hoursToDry(
    {
      cloth: Math.min(slowest.cloth * seam, 1.5 * cloth.holds),
      backing: slowest.backing * seam * random.spread(0.12),
      clothHolds: cloth.holds,
      backingHolds: holds,
      climb: climb * cloth.through,
      open:
        cloth.open * 0.76 * (planned.seatsRemoved && section.area !== 'floor-carpet' ? 1.2 : 1) * random.spread(0.1),
    },
    chance.rates,
  );
  const rest = worst(zones);
  return {
    outcome: { needed, made, clean: made >= needed, dryPasses, leftPerM2: left / surface },
    detail: { surface, sprayed, recovered, spotRounds: rounds, by, overLog: Math.log(Math.max(rest, 1e-6)) },
    minutes,
    vacuumM2: surface * nooks[section.area],
    dryHours,
  };
}

export const yearOf = (hour: number): number => new Date(hour * 3.6e6).getUTCFullYear();

const seatOut: Partial<Record<Area, number>> = { 'front-seat': 11, 'rear-bench': 13, 'third-row': 14 };

export const outdoorMeanC = (shop: Shop, hour: number): number =>
  shop.yearMeanC + shop.yearSwingC * Math.cos((2 * Math.PI * (hour / 24 - 200)) / 365.25);

/** One draw of a whole job: soil, passes, water, minutes, drying. */
export function work(setting: Setting, random: Random): Work {
  const { planned, lead, mate, wand, shop, startHour } = setting;
  const wild = random.uniform();
  const age =
    planned.modelYear === undefined ? 8 * random.spread(0.5) : Math.max(0, yearOf(startHour) - planned.modelYear);
  const warm = planned.solutionC === undefined ? 40 + 6 * random.normal() : planned.solutionC;
  const mix = planned.dilution ?? 20;
  const chemistry = (1 + 0.0025 * (warm - 40)) * (20 / mix) ** 0.06 * random.spread(0.035);

  // The air: the season's day, what the aid makes of it, and the nights.
  const aid = planned.drying?.aid ?? random.pick<DryingAid>(shop.aids);
  const dayC = outdoorMeanC(shop, startHour) + 3.2 * random.normal();
  const outdoorPa = saturationPa(dayC - 2) * Math.min(0.97, shop.damp + 0.09 * random.normal());
  const bayC = Math.max(shop.bayC + random.normal(), Math.min(32, dayC + 2.5));
  const bayPa = Math.min(outdoorPa + 60, 0.92 * saturationPa(bayC));
  const warmRoom = 34 + 2.5 * random.normal();
  const sunC = Math.min(
    48,
    dayC + 5 + 7 * random.uniform() * (1 + Math.cos((2 * Math.PI * (startHour / 24 - 172)) / 365.25)),
  );
  const speedChance = random.spread(0.3);
  const still: AirHour = { airC: bayC, vapourPa: bayPa, speedMs: 0.06 * speedChance, enclosed: 0.32 };
  const made: Record<DryingAid, AirHour> = {
    'still-air': still,
    'open-doors': { ...still, speedMs: 0.18 * speedChance, enclosed: 0.15 },
    fan: { ...still, speedMs: shop.fanSpeed * speedChance, enclosed: 0.1 },
    dehumidifier: {
      airC: bayC + 2,
      vapourPa: Math.min(bayPa, 0.4 * saturationPa(bayC + 2)),
      speedMs: 0.3 * speedChance,
      enclosed: 0.15,
    },
    'warm-room': {
      airC: warmRoom,
      vapourPa: Math.min(bayPa + 350, 0.6 * saturationPa(warmRoom)),
      speedMs: 0.25 * speedChance,
      enclosed: 0.25,
    },
    sun: {
      airC: sunC,
      vapourPa: Math.min(outdoorPa * 1.1, 0.85 * saturationPa(sunC)),
      speedMs: 0.4 * speedChance,
      enclosed: 0.3,
    },
  };
  const plain = made[aid];
  const airC = planned.drying?.airC ?? plain.airC;
  const vapourPa =
    planned.drying?.rhPercent === undefined
      ? Math.min(plain.vapourPa, 0.97 * saturationPa(airC))
      : (planned.drying.rhPercent / 100) * saturationPa(airC);
  const day: AirHour = {
    airC,
    vapourPa,
    speedMs: planned.drying?.airSpeedMs ?? plain.speedMs,
    enclosed: plain.enclosed,
  };
  const nightC = Math.max(5, bayC - 2);
  const closed: AirHour = {
    airC: nightC,
    vapourPa: Math.min(vapourPa, 0.75 * saturationPa(nightC)),
    speedMs: 0.05,
    enclosed: 0.38,
  };
  const night =
    aid === 'dehumidifier' || aid === 'warm-room' || (aid === 'fan' && shop.fanOverNight)
      ? {
          ...day,
          airC: Math.max(nightC, airC - 2),
          vapourPa: Math.min(vapourPa, 0.9 * saturationPa(Math.max(nightC, airC - 2))),
        }
      : closed;
  const unplugged = wild > 0.985 ? 0.4 : 1;
  const [dayRate, nightRate] = [
    wetRate(day) * shop.ventilation * unplugged,
    wetRate(night) * shop.ventilation * unplugged,
  ];

  const byEach = planned.sections.map((section) => {
    const named = [lead, mate].find((hand) => hand !== undefined && hand.key === section.technician);
    return named ?? (mate !== undefined && random.chance(0.42) ? mate : lead);
  });
  // Day and night are told by when the work ends, which is known well enough before the drying starts.
  const endGuess = { hour: startHour + 3 };
  const chance: JobChance = {
    age,
    chemistry,
    wildWater: wild < 0.012 ? random.between(1.7, 2.6) : 1,
    rates: (h) => {
      const local = (((endGuess.hour + h + shop.offsetHours) % 24) + 24) % 24;
      return local >= 7.5 && local < 18.5 ? dayRate : nightRate;
    },
  };
  const pieces = planned.seatsRemoved
    ? planned.sections.reduce(
        (sum, { area, count }) => sum + (seatOut[area] ?? 0) * (area === 'front-seat' ? count : 1),
        0,
      )
    : 0;
  const machine = wand !== undefined && planned.sections.some(({ method }) => method !== 'spot');
  const crew = mate === undefined ? 1 : 2;
  const fixed = (12 + (machine ? 12 : 4) + 11) * random.spread(0.2) * (crew === 2 ? 1.2 : 1);
  const seats = pieces * 1.9 * random.spread(0.15) * (crew === 2 ? 0.9 : 1);
  const soilVacuum =
    planned.sections.reduce((sum, { soil }) => sum + { light: 0.7, moderate: 1, heavy: 1.35, severe: 1.7 }[soil], 0) /
    planned.sections.length;
  endGuess.hour = startHour + (fixed + seats + 35 * planned.sections.length) / 60 / crew;

  const runs = planned.sections.map((section, i) => runSection(setting, section, byEach[i] as Hand, chance, random));
  const vacuum = 3.6 * soilVacuum * runs.reduce((sum, { vacuumM2 }) => sum + vacuumM2, 0) * random.spread(0.2);
  const calledAway = random.chance(0.12) ? random.between(8, 40) : 0;
  const pace = lead.pace * (1 + 0.25 * greenNow(lead, startHour));
  const minutes =
    ((fixed + seats + vacuum) * pace + runs.reduce((sum, run) => sum + run.minutes, 0) * (crew === 2 ? 1.06 : 1)) *
      shop.minutes *
      random.spread(0.07) *
      (wild > 0.012 && wild < 0.026 ? random.between(1.4, 2) : 1) +
    calledAway;

  const outcomes = runs.map(({ outcome }) => outcome);
  const sum = (of: (run: SectionRun, i: number) => number) => runs.reduce((all, run, i) => all + of(run, i), 0);
  const extracted = (i: number) => wand !== undefined && planned.sections[i]?.method !== 'spot';
  const outcome: Outcome = {
    sections: outcomes,
    hours: minutes / 60,
    sprayedLitres: sum(({ detail }, i) => (extracted(i) ? detail.sprayed : 0)),
    recoveredLitres: sum(({ detail }, i) => (extracted(i) ? detail.recovered : 0)),
    extractedLeftLitres: sum(({ outcome: o, detail }, i) => (extracted(i) ? o.leftPerM2 * detail.surface : 0)),
    leftLitres: sum(({ outcome: o, detail }) => o.leftPerM2 * detail.surface),
    wettestPerM2: Math.max(...outcomes.map(({ leftPerM2 }) => leftPerM2)),
    dryingHours: Math.max(...runs.map(({ dryHours }) => dryHours)),
  };
  return {
    outcome,
    sections: runs.map(({ detail }) => detail),
    aid,
    airC: day.airC,
    rh: (100 * day.vapourPa) / saturationPa(day.airC),
    speed: day.speedMs,
    wallHours: minutes / 60 / crew,
  };
}
