import { createRandom, type Random } from '../../seed/random.ts';
import type { ModelName } from '../../src/domain/doubts.ts';
import { type PlannedJob, plannedJob } from '../../src/domain/planned.ts';
import { type FinishedJob, type FinishedJobInput, finishedJob } from '../../src/domain/record.ts';
import type { BodyStyle, DryingAid, Fabric, Method, Soil } from '../../src/domain/vocabulary.ts';
import { airCase, dryingRate } from '../../src/models/drying-air.ts';
import { dryTerm } from '../../src/models/habits.ts';
import {
  beforeEntries,
  columnCount,
  type Entries,
  type Layout,
  machineColumn,
  priorsOf,
  stepsBack,
  technicianColumn,
  termColumn,
  withRoomToChange,
  withSteps,
} from '../../src/models/layout.ts';
import { dryingEntries, dryingLayout } from '../../src/models/rows/drying-rows.ts';
import { labourEntries, labourLayout } from '../../src/models/rows/labour-rows.ts';
import { passesEntries, passesLayout } from '../../src/models/rows/passes-rows.ts';
import { waterEntries, waterLayout } from '../../src/models/rows/water-rows.ts';
import { rulesOfThumb } from '../../src/models/rules-of-thumb.ts';
import { gradeOf } from '../../src/models/shop-view.ts';
import { referenceLogWater } from '../../src/models/terms/drying-terms.ts';
import { labourSpread, meanPasses } from '../../src/models/terms/labour-terms.ts';
import { lostTerm, sectionErrorSd } from '../../src/models/terms/water-terms.ts';
import { typicalAir } from '../../src/models/usual-air.ts';
import { contentMinutes, workContent } from '../../src/models/work-content.ts';
import { isExtracted, totalSurfaceM2, type WorkSection } from '../../src/models/work-section.ts';
import { machines, technicians } from './shop-under-test.ts';

/** One model's truth: its coefficients in the order of its columns, and what is left over. */
interface Truth {
  readonly layout: Layout;
  readonly coefficients: Float64Array;
  readonly sigma: number;
}

export interface PriorShop {
  readonly truth: Readonly<Record<ModelName, Truth>>;
  readonly records: readonly FinishedJob[];
  /** Jobs after these, as planned and as they came out. */
  readonly planned: readonly { readonly job: PlannedJob; readonly outcome: Outcome }[];
}

export interface Outcome {
  /** By section. */
  readonly passesMade: readonly number[];
  readonly hours: number;
  readonly wettestLPerM2: number;
  readonly dryHours: number;
}

/**
 * A shop whose truth is drawn from the rules of thumb themselves, its jobs lived through one by one as the models say they go.
 * Its tanks are off by their step alone, its nights are as days, and nobody makes a second pass to be safe.
 */
export function priorShop(seed: number, nJobs: number, nPlanned: number): PriorShop {
  const random = createRandom(seed, 77);
  const keys = { technicians: technicians.map(({ key }) => key), machines: machines.map(({ key }) => key) };
  const settings = Array.from({ length: nJobs }, () => drawSetting(random));
  const steps = stepsBack(settings.map(({ at }) => at.toISOString()));
  const truth = {
    passes: drawTruth('passes', withSteps(passesLayout(keys), steps), random),
    labour: drawTruth('labour', withSteps(labourLayout(keys), steps), random),
    water: drawTruth('water', withSteps(waterLayout(keys), steps), random),
    drying: drawTruth('drying', withSteps(dryingLayout(keys), steps), random),
  };
  const records = settings.map((setting, i) => recordOf(`J-${i}`, setting, live(truth, setting, random), random));
  const planned = Array.from({ length: nPlanned }, () => {
    const setting = drawSetting(random);
    return { job: planOf(setting), outcome: live(truth, setting, random) };
  });
  return { truth, records, planned };
}

/** A job as set: every surface and dry pass is written down. */
interface Setting {
  readonly at: Date;
  readonly bodyStyle: BodyStyle;
  readonly seatsRemoved: boolean;
  readonly finalVacuum: boolean;
  readonly technician: string;
  readonly extractor: string;
  readonly aid: DryingAid;
  readonly airC: number;
  readonly rhPercent: number;
  readonly sections: readonly WorkSection[];
}

function drawTruth(name: ModelName, layout: Layout, random: Random): Truth {
  const { fixed, groups, sigma } = withRoomToChange(priorsOf(name, layout, rulesOfThumb), layout);
  const coefficients = new Float64Array(columnCount(layout));
  fixed.mean.forEach((mean, j) => {
    coefficients[j] = mean + fixed.sd[j] * random.normal();
  });
  for (const { first, count, tauScale } of groups) {
    const tau = tauScale * Math.abs(random.normal());
    for (let j = first; j < first + count; j++) coefficients[j] = tau * random.normal();
  }
  return { layout, coefficients, sigma: Math.exp(sigma.logMean + sigma.logSd * random.normal()) };
}

function drawSetting(random: Random): Setting {
  const fabric = random.pick<Fabric>({ 'flat-woven': 4, knit: 1, velour: 2, 'suede-like': 1 });
  const method = random.pick<Method>({ extraction: 5, spot: 1, 'spot-then-extraction': 1 });
  const [seatsRemoved, finalVacuum] = [random.chance(0.5), random.chance(0.5)];
  const section = (area: WorkSection['area'], pieces: number): WorkSection => ({
    area,
    pieces,
    surfaceM2: random.between(1.2, 2),
    fabric,
    soil: random.pick<Soil>({ light: 2, moderate: 4, heavy: 2, severe: 1 }),
    stains: random.chance(0.2) ? ['drink'] : [],
    method,
    brush: random.pick({ none: 1, soft: 3, medium: 1 }),
    dryPasses: method === 'spot' ? undefined : 1 + Math.floor(4 * random.uniform()),
    leftIn: !seatsRemoved,
    lastVacuum: Number(finalVacuum),
  });
  return {
    // Nights are as days: ended at midnight, all work would begin to dry in one, and its level be told by how the nights are read.
    at: new Date(Date.UTC(2025, 4, 1 + Math.floor(365 * random.uniform()), 12)),
    bodyStyle: random.pick<BodyStyle>({ sedan: 3, suv: 2, wagon: 1, coupe: 1 }),
    seatsRemoved,
    finalVacuum,
    technician: random.pick({ ann: 3, ben: 2, cat: 2, dan: 1 }),
    extractor: random.pick({ 'entry-one': 1, 'standard-one': 2, 'high-one': 1 }),
    aid: random.pick<DryingAid>({ 'open-doors': 2, fan: 2, 'still-air': 1 }),
    airC: random.between(12, 28),
    rhPercent: random.between(30, 70),
    sections: random.chance(0.5) ? [section('front-seat', 2), section('rear-bench', 1)] : [section('rear-bench', 1)],
  };
}

function live(
  truth: PriorShop['truth'],
  setting: Setting,
  random: Random,
): Outcome & { readonly needed: number[]; readonly litres: number } {
  const { at, sections, technician, extractor, bodyStyle, seatsRemoved } = setting;
  const grade = gradeOf(machines, extractor);
  const { passes, labour, water, drying } = truth;
  const needed = sections.map((section) => {
    const entries = passesEntries(passes.layout, { section, grade }, extractor);
    return Math.max(1, Math.ceil(Math.exp(level(passes, entries, technician, at) + passes.sigma * random.normal())));
  });
  const made = needed.map((n) => lastPass(n, random));
  const job = { bodyStyle, seatsRemoved, sections, meanPasses: meanPasses(sections, made), crew: 1, grade };
  const effect = level(labour, labourEntries(labour.layout, job, extractor), technician, at);
  const minutes = contentMinutes(workContent(sections, seatsRemoved), made);
  const ofJob = water.sigma * random.normal();
  const logWater = sections.map((section, s) => {
    const dry = section.dryPasses === undefined ? 0 : dryTerm(section.dryPasses, made[s]);
    const entries = waterEntries(water.layout, { section, grade, wetPasses: made[s], dry }, extractor);
    return level(water, entries, technician, at) + ofJob + sectionErrorSd(section, 1) * random.normal();
  });
  const wettest = Math.max(...logWater);
  const cloth = dryingEntries({
    ...sections[0],
    ...airCase(setting, dryingRate(setting, typicalAir)),
    at,
    logWater: wettest - referenceLogWater,
  });
  const lost = lostTerm(totalSurfaceM2(sections)) * water.coefficients[termColumn(water.layout, 'lost')];
  const logDry =
    level(drying, cloth, technician, at) + drying.sigma * random.normal() - dryingRate(setting, typicalAir).logRate;
  return {
    needed,
    passesMade: made,
    hours: (minutes / 60) * Math.exp(effect + labour.sigma * labourSpread(sections) * student4(random)),
    wettestLPerM2: Math.exp(wettest),
    litres: sections.reduce((sum, { surfaceM2 }, s) => sum + surfaceM2 * Math.exp(logWater[s]), 0) * Math.exp(lost),
    dryHours: Math.exp(wettest + logDry),
  };
}

/** Given up after pass k with the rules' chance. */
function lastPass(needed: number, random: Random): number {
  const chances = [0.01, 0.01, 0.05, 0.2, 0.3, 0.4, 0.5];
  let made = 1;
  while (made < Math.min(needed, 12) && !random.chance(chances[Math.min(made, 7) - 1])) made++;
  return made;
}

function level({ layout, coefficients }: Truth, entries: Entries, technician: string, at: Date): number {
  return [...entries, ...beforeEntries(layout, at)].reduce(
    (sum, [column, x]) => sum + x * coefficients[column],
    coefficients[technicianColumn(layout, technician)],
  );
}

/** Student's t with four degrees of freedom: a normal over the root of a chi-square's mean of four squares. */
function student4(random: Random): number {
  const squares = [0, 1, 2, 3].reduce((sum) => sum + random.normal() ** 2, 0);
  return random.normal() / Math.sqrt(squares / 4);
}

function recordOf(
  ref: string,
  setting: Setting,
  { needed, passesMade, hours, litres, dryHours }: ReturnType<typeof live>,
  random: Random,
): FinishedJob {
  const { at, sections, technician, aid, airC, rhPercent, ...job } = setting;
  const toTenth = (value: number) => Math.round(10 * value) / 10;
  const sprayed = random.between(4, 12);
  const tanks = { sprayedLitres: toTenth(sprayed + litres), recoveredLitres: toTenth(sprayed) };
  const measured = isExtracted(sections[0]) && random.chance(0.7);
  const visits = [1, 2, 4, 8, 16, 24, 48].map((visit) => visit * random.between(0.8, 1.2));
  const input: FinishedJobInput = {
    ...job,
    ref,
    finishedAt: at.toISOString(),
    labour: [{ technician, minutes: 60 * hours }],
    ...(measured ? tanks : {}),
    sections: sections.map(({ pieces, leftIn, lastVacuum, ...section }, s) => ({
      ...section,
      stains: [...section.stains],
      count: pieces,
      wetPasses: passesMade[s],
      result: passesMade[s] === needed[s] ? 'clean' : 'improved',
    })),
    drying: { aid, airC, rhPercent, checks: visits.map((visit) => ({ hours: visit, dry: visit >= dryHours })) },
  };
  // A wild labour or a severe section may lie beyond what the contract lets in: no matter to the models.
  return { ...finishedJob.parse({ ...input, labour: [{ technician, minutes: 60 }] }), labour: input.labour };
}

function planOf({ at, sections, ...setting }: Setting): PlannedJob {
  const { aid, airC, rhPercent, ...job } = setting;
  return plannedJob.parse({
    ...job,
    startAt: at.toISOString(),
    drying: { aid, airC, rhPercent },
    sections: sections.map(({ pieces, leftIn, lastVacuum, ...section }) => ({ ...section, count: pieces })),
  });
}

/** Columns that a record can speak of: neither the spare person nor the spare extractor. */
export function knownColumns(layout: Layout): readonly number[] {
  const spare = [technicianColumn(layout, undefined), machineColumn(layout, undefined)];
  return Array.from({ length: columnCount(layout) }, (_, j) => j).filter((j) => !spare.includes(j));
}
