import { stillInUse } from '../../domain/lists.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { countedJobs } from '../../models/comebacks.ts';
import type { SecondPassHabit } from '../../models/second-pass.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { dayOf, type ShopRecords } from '../shop-records.ts';
import { centreAndSpread, type WetnessChange, wetnessChange } from './change.ts';
import { comebackBasis, comebacksByTechnician, type PersonComebacks } from './comeback-rates.ts';
import { concerning, habitGaps, type Multiplier, multiplier, peopleOf } from './multipliers.ts';
import { type WaterResidual, waterResiduals } from './residuals.ts';
import { provenSecondPass, secondPassWords } from './second-pass-words.ts';

export interface TechnicianWetness {
  readonly technician: string;
  readonly name: string;
  readonly jobs: number;
  readonly measuredJobs: number;
  /** Water left in against the others on the same work, their dry passes and last rounds as they are: what reaches the customer. */
  readonly waterWithHabit: Multiplier;
  /** The same among jobs with equal dry passes and last rounds: trigger and nozzle alone. */
  readonly waterAtEqualDryPasses: Multiplier;
  /** Dry passes to a wet one, against the others' mean. */
  readonly dryPassesPerWetGap: number;
  /** Drying beyond what the litres say. */
  readonly drying: Multiplier;
  readonly comebacks: PersonComebacks;
  /** The habit of a second pass to be safe; null where none is proven. */
  readonly secondPass: SecondPassHabit | null;
  readonly change: WetnessChange | null;
  readonly overWet: boolean;
  /** Measured jobs still needed to be sure at this multiplier; null where it is settled or nothing is suspected. */
  readonly moreMeasuredJobs: number | null;
  readonly says: string;
}

export interface WetnessReport {
  readonly answer: string;
  readonly technicians: readonly TechnicianWetness[];
  readonly measuredJobs: number;
  readonly jobsToBeSure: string;
  /** How many came back of the jobs that tell, and how many of those only by silence. */
  readonly comebackBasis: string;
  /** Who makes a second pass although the first did it. */
  readonly secondPasses: string;
  readonly lookAt: readonly string[];
  readonly alsoPossible: readonly string[];
  readonly caution: string;
}

const sureAt = 0.9;
const fewestMeasured = 8;
/** Standard normal quantile of {@link sureAt}. */
const sureZ = 1.2816;

const lookAt = [
  'how long the trigger is held',
  'a dry pass after each wet one, and a last round with the vacuum over everything',
  'the nozzle flat and tight on the cloth',
];
const alsoPossible = [
  'an extractor with weak suction',
  'thicker foam or cloth than the record says',
  'tanks read in a hurry',
];
const caution =
  'For coaching: few jobs prove little, and the work and the machine differ. Check local employment and privacy rules before these figures are used for pay or discipline.';
const jobsToBeSure =
  'In simulated shops of five technicians someone who leaves a third more is found after 8 measured jobs in about half of them, after 20 in nine of ten.';

/**
 * Who leaves too much water in: each technician against the others at the same work. Listed by name, never ranked, for most ranges overlap;
 * named only past a chance of 0.9 of more than 1.15 times the others', with the habit of dry passes or without, and at least 8 measured jobs.
 */
export function wetnessReport(fit: ShopFit, shop: ShopRecords, now: Date): WetnessReport {
  const residuals = waterResiduals(fit, shop);
  const measured = new Set(residuals.map(({ ref }) => ref)).size;
  const people = peopleOf(shop.records);
  const counted = countedJobs(shop.records, now);
  const technicians = people.length < 2 ? [] : everyone(fit, shop, residuals, people, counted);
  const stillHere = stillInUse(shop.technicians, dayOf(shop, now));
  const here = new Set(stillHere.map(({ key }) => key));
  const found = technicians.filter(({ overWet, change }) => overWet || change !== null);
  // Who has left is beyond coaching: told in the row, not in the answer.
  const named = found.filter(({ technician }) => here.has(technician));
  return {
    answer:
      fit.nJobs === 0 && measured > 0 ? nothingLearnt(measured) : answer(named, technicians, measured, found.length),
    technicians,
    measuredJobs: measured,
    jobsToBeSure,
    comebackBasis: comebackBasis(counted),
    secondPasses: secondPassWords(fit, stillHere),
    lookAt,
    alsoPossible,
    caution,
  };
}

function everyone(
  fit: ShopFit,
  shop: ShopRecords,
  residuals: readonly WaterResidual[],
  people: readonly string[],
  counted: readonly FinishedJob[],
): readonly TechnicianWetness[] {
  const comebacks = comebacksByTechnician(counted, people);
  return comebacks.map((own, i) => ofTechnician(fit, shop, residuals, people[i], people, own));
}

function ofTechnician(
  fit: ShopFit,
  shop: ShopRecords,
  residuals: readonly WaterResidual[],
  key: string,
  people: readonly string[],
  comebacks: PersonComebacks,
): TechnicianWetness {
  const others = people.filter((other) => other !== key);
  const { water, drying } = fit.models;
  const gaps = habitGaps(fit, key, others);
  const withHabit = multiplier(water, key, others, gaps);
  const own = residuals.filter(({ technician }) => technician === key);
  const rest = residuals.filter(({ technician }) => technician !== key).map(({ log }) => log);
  const { centre, spread } = centreAndSpread(rest.length > 0 ? rest : [0]);
  const isOwn = ({ labour }: FinishedJob) => labour.some(({ technician }) => technician === key);
  const atEqualDryPasses = multiplier(water, key, others);
  const chanceAbove = Math.max(withHabit.chanceAbove, atEqualDryPasses.chanceAbove);
  const overWet = own.length >= fewestMeasured && chanceAbove > sureAt;
  const found = {
    technician: key,
    name: shop.technicians.find((one) => one.key === key)?.name ?? key,
    jobs: shop.records.filter(isOwn).length,
    measuredJobs: own.length,
    waterWithHabit: withHabit,
    waterAtEqualDryPasses: atEqualDryPasses,
    dryPassesPerWetGap: gaps.dry,
    drying: multiplier(drying, key, others),
    comebacks,
    secondPass: provenSecondPass(fit, key),
    change: rest.length < fewestMeasured ? null : (wetnessChange(own, centre, spread) ?? null),
    overWet,
    moreMeasuredJobs: overWet ? null : moreJobs(withHabit, own.length, spread),
  };
  return { ...found, says: sentence(found) };
}

/**
 * Jobs until the chance passes 0.9 if the multiplier stays where it is: the posterior's spread shrinks as 1/√n of a job's own.
 * Nothing is asked for where more jobs would only confirm that there is nothing.
 */
function moreJobs({ p05, p50, p95 }: Multiplier, measured: number, jobSd: number): number | null {
  const gap = Math.log(p50) - Math.log(concerning);
  if (gap <= 0) return null;
  const sd = (Math.log(p95) - Math.log(p05)) / 3.29;
  const wanted = gap / sureZ;
  if (sd <= wanted) return Math.max(0, fewestMeasured - measured);
  return Math.max(fewestMeasured - measured, Math.ceil(jobSd ** 2 * (1 / wanted ** 2 - 1 / sd ** 2)));
}

/** The rules of thumb know nobody: that they name no one says nothing. */
function nothingLearnt(measured: number): string {
  return `No fit is in use that has read the ${measured} measured jobs, so nobody can be compared: a night that finds a new job makes one, or one is published by hand.`;
}

function answer(
  named: readonly TechnicianWetness[],
  all: readonly TechnicianWetness[],
  measured: number,
  found: number,
): string {
  if (all.length < 2)
    return 'It takes at least two technicians to compare, each with some jobs whose tanks were read before and after.';
  if (measured === 0)
    return 'No litres have been measured yet: read the tanks before and after a few jobs of each technician.';
  if (found === 0 && all.every(({ measuredJobs }) => measuredJobs < fewestMeasured))
    return `Nothing can be told yet: it takes ${fewestMeasured} measured jobs for somebody to stand out, and nobody has so many.`;
  if (named.length === 0 && found > 0)
    return `Nobody who is still here stands out over ${measured} measured jobs; somebody who has left did.`;
  if (named.length === 0)
    return `Nobody stands out over ${measured} measured jobs: no sign that anyone leaves too much water in.`;
  return named.map(({ says }) => says).join(' ');
}

function sentence(of: Omit<TechnicianWetness, 'says'>): string {
  const surest = of.waterAtEqualDryPasses.chanceAbove > of.waterWithHabit.chanceAbove;
  const { p05, p50, p95, chanceAbove } = surest ? of.waterAtEqualDryPasses : of.waterWithHabit;
  const dryPasses = surest ? 'with as many dry passes' : 'dry passes as each makes them';
  const range = `${p50.toFixed(2)} times what the others leave at the same work, ${dryPasses} (90 % range ${p05.toFixed(2)} to ${p95.toFixed(2)}, ${of.measuredJobs} measured jobs)`;
  if (of.overWet)
    return `${of.name} leaves ${range}; the chance that it is more than ${concerning} times is ${percent(chanceAbove)}.${began(of.change)}`;
  if (of.change !== null) return `${of.name} has been leaving more ${lately(of.change)}.`;
  if (of.measuredJobs === 0) return `${of.name}: no measured job yet.`;
  const more = of.moreMeasuredJobs === null ? '' : ` About ${of.moreMeasuredJobs} more measured jobs would settle it.`;
  return `${of.name} leaves ${range}: no proof of too much.${more}`;
}

function began(change: WetnessChange | null): string {
  if (change === null) return '';
  return change.fromTheFirst
    ? ' It was so from the first measured job on: nothing has changed in time.'
    : ` It began about ${change.since.slice(0, 10)}.`;
}

function lately({ fromTheFirst, since, levelNow, levelRange: { p05, p95 } }: WetnessChange): string {
  const from = fromTheFirst ? 'from the first measured job on' : `since about ${since.slice(0, 10)}`;
  return `${from}: lately ${levelNow.toFixed(2)} times the others’ level with as many dry passes (90 % range ${p05.toFixed(2)} to ${p95.toFixed(2)})`;
}

function percent(chance: number): string {
  return chance > 0.99 ? 'more than 99 %' : `${Math.round(100 * chance)} %`;
}
