import type { Machine } from '../../domain/lists.ts';
import { normalStore } from '../../inference/random.ts';
import { chanceThat } from '../../models/estimate/figure.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import type { DoneJob } from '../../models/shop-view.ts';
import { printed, printedDifference } from '../printed.ts';
import { type Range, rangeOf } from '../range.ts';
import type { ShopRecords } from '../shop-records.ts';
import { mostUsed, workMix } from './mix.ts';
import { commonDraws, type StandardisedWork, standardisedWork } from './standardised.ts';

export interface MachineStanding {
  readonly machine: string;
  readonly name: string;
  readonly grade: Machine['grade'];
  readonly jobs: number;
  readonly passes: Range;
  readonly hours: Range;
  readonly waterLPerM2: Range;
  readonly dryHours: Range;
  /** Against the baseline on the same work: differences a job, negative is less; null for the baseline itself. */
  readonly againstBaseline: MachineDifference | null;
  readonly says: string;
}

export interface MachineDifference {
  readonly passes: Range;
  readonly hours: Range;
  readonly waterPercent: Range;
  readonly dryHours: Range;
  readonly chanceFewerHours: number;
  readonly chanceDrier: number;
  /** Share of this machine's and the baseline's jobs that have a like on the other's side. */
  readonly overlap: number;
  readonly warning: string | null;
}

export interface MachinesReport {
  readonly answer: string;
  readonly baseline: string | null;
  readonly jobsInMix: number;
  readonly machines: readonly MachineStanding[];
  readonly caution: string;
}

export const nDraws = 200;

/** What no record can tell, that the two were used by the same rules: standard deviation on the log scale. Judged over shops of three mechanisms, tests/bench/machines.ts. */
const structural = { passes: 0.02, hours: 0.02, water: 0.03 } as const;
/**
 * Hours until dry go with a power of the litres only nearly, and two extractors lie far apart in litres: standard deviation of that power from the
 * one to the other, beside its posterior. What the errors of the same three mechanisms have beyond the posterior, all three together.
 */
const structuralPower = 0.1;
const littleOverlap = 0.5;
const caution = 'A comparison from records, not a test: who used which machine, and on what, was not drawn by lot.';
/** None was extracted, or none of those names its extractor. */
export const noneToCompare = 'No extracted job that names its extractor is recorded yet';
const normals = normalStore();

/** The shop's extractors on one and the same mix of work, its own of the last year. `baseline` absent: the one used most of those that are there. */
export function machinesReport(fit: ShopFit, shop: ShopRecords, now: Date, baseline?: string): MachinesReport {
  const mix = workMix(fit, shop, now);
  const jobsOf = (key: string) => shop.records.filter(({ extractor }) => extractor === key);
  const used = shop.machines.filter(({ key }) => jobsOf(key).length > 0);
  if (mix.length === 0 || used.length === 0)
    return { answer: `${noneToCompare}.`, baseline: null, jobsInMix: 0, machines: [], caution };
  const base = used.find(({ key }) => key === baseline) ?? mostUsed(shop, now) ?? used[0];
  const draws = commonDraws(fit, nDraws);
  const workOf = (machine: Machine) => standardisedWork(fit, mix, { ...machine, share: 1 }, draws);
  const baseWork = workOf(base);
  const machines = used.map((machine, i) => {
    const work = machine === base ? baseWork : workOf(machine);
    const overlap = machine === base ? 1 : overlapOf(mix, machine.key, base.key);
    const difference = machine === base ? null : differenceOf(work, baseWork, overlap, i);
    return standing(machine, jobsOf(machine.key).length, work, difference, base);
  });
  return { answer: answer(machines), baseline: base.key, jobsInMix: mix.length, machines, caution };
}

/** Common draws, so that what both share cancels; a spread for what no record tells is added. */
export function differenceOf(
  work: StandardisedWork,
  base: StandardisedWork,
  overlap: number,
  salt: number,
): MachineDifference {
  const n = work.hours.length;
  const passesNoise = normals(291 + salt, n);
  const waterNoise = normals(191 + salt, n);
  const powerNoise = normals(391 + salt, n);
  const passes = apart(work.passes, base.passes, (d) => structural.passes * passesNoise[d]);
  const hours = hoursApart(work, base, salt);
  const waterFactor = work.waterLPerM2.map(
    (value, d) => (value * Math.exp(structural.water * waterNoise[d])) / base.waterLPerM2[d],
  );
  const dryHours = apart(work.dryHours, base.dryHours, (d) => {
    const power = structuralPower * powerNoise[d] * Math.log(work.waterLPerM2[d] / base.waterLPerM2[d]);
    return structural.water * waterNoise[d] + power;
  });
  return {
    passes: rangeOf(passes),
    hours: rangeOf(hours),
    waterPercent: rangeOf(waterFactor.map((factor) => 100 * (factor - 1))),
    dryHours: rangeOf(dryHours),
    chanceFewerHours: chanceThat(hours, (value) => value < 0),
    chanceDrier: chanceThat(waterFactor, (value) => value < 1),
    overlap,
    warning:
      overlap >= littleOverlap
        ? null
        : 'These two hardly ever did comparable work: the difference leans on the model and the rules of thumb.',
  };
}

/** Hours a job more than the baseline's, an entry a draw: what {@link differenceOf} gives the range of. */
export function hoursApart(work: StandardisedWork, base: StandardisedWork, salt: number): Float64Array {
  const noise = normals(91 + salt, work.hours.length);
  return apart(work.hours, base.hours, (d) => structural.hours * noise[d]);
}

/** The difference in each draw, half of what no record tells on either side, so that it is no matter which of the two is the baseline. */
function apart(of: Float64Array, base: Float64Array, logNoise: (draw: number) => number): Float64Array {
  return of.map((value, d) => {
    const half = Math.exp(logNoise(d) / 2);
    return value * half - base[d] / half;
  });
}

/** Share of both machines' jobs whose kind (heavily soiled or not, with carpet or without) the other did too. */
function overlapOf(mix: readonly DoneJob[], a: string, b: string): number {
  const kinds = (key: string) => mix.filter(({ job }) => job.extractor === key).map(kindOf);
  const [ofA, ofB] = [kinds(a), kinds(b)];
  const shared = ofA.filter((kind) => ofB.includes(kind)).length + ofB.filter((kind) => ofA.includes(kind)).length;
  return ofA.length + ofB.length === 0 ? 0 : shared / (ofA.length + ofB.length);
}

function kindOf({ sections }: DoneJob): string {
  const heavy = sections.some(({ soil }) => soil === 'heavy' || soil === 'severe');
  const carpet = sections.some(({ fabric }) => fabric === 'loop-carpet' || fabric === 'cut-pile');
  return `${heavy} ${carpet}`;
}

function standing(
  { key, name, grade }: Machine,
  jobs: number,
  work: StandardisedWork,
  againstBaseline: MachineDifference | null,
  base: Machine,
): MachineStanding {
  return {
    machine: key,
    name,
    grade,
    jobs,
    passes: rangeOf(work.passes),
    hours: rangeOf(work.hours),
    waterLPerM2: rangeOf(work.waterLPerM2),
    dryHours: rangeOf(work.dryHours),
    againstBaseline,
    says:
      againstBaseline === null
        ? `${name}: the one the others are held against.`
        : sentence(name, againstBaseline, base),
  };
}

function sentence(name: string, { hours, waterPercent, dryHours, warning }: MachineDifference, base: Machine): string {
  const text = `${name} against ${base.name} on the same work: ${printedDifference(hours.p50, 2)} hours a job (90 % range ${printedDifference(hours.p05, 2)} to ${printedDifference(hours.p95, 2)}), ${printedDifference(waterPercent.p50, 0)} % water left in (${printedDifference(waterPercent.p05, 0)} to ${printedDifference(waterPercent.p95, 0)} %), ${printedDifference(dryHours.p50, 1)} hours of drying.`;
  return warning === null ? text : `${text} ${warning}`;
}

function answer(machines: readonly MachineStanding[]): string {
  const others = machines.filter(({ againstBaseline }) => againstBaseline !== null);
  return [machinesSentence({ machines }), ...others.map(({ says }) => says)].join(' ');
}

/** Which extractor needs the fewest hours on the same work, in one sentence. */
export function machinesSentence({ machines }: Pick<MachinesReport, 'machines'>): string {
  const base = machines.find(({ againstBaseline }) => againstBaseline === null);
  if (base === undefined) return `${noneToCompare}.`;
  if (machines.length === 1) return `Only ${base.name} has been used: there is nothing to hold it against yet.`;
  const [best] = machines
    .flatMap(({ name, againstBaseline }) => (againstBaseline === null ? [] : [{ name, ...againstBaseline }]))
    .filter(({ hours }) => hours.p95 < 0)
    .sort((a, b) => a.hours.p50 - b.hours.p50);
  if (best === undefined) return `On the same work none is faster than ${base.name} beyond doubt.`;
  const { name, hours, warning } = best;
  const fewer = (value: number) => printed(-value, 2);
  const said = `On the same work ${name} needs the fewest hours: ${fewer(hours.p50)} hours fewer a job than ${base.name} (90 % range ${fewer(hours.p95)} to ${fewer(hours.p05)})`;
  return warning === null ? `${said}.` : `${said}, though the two hardly ever did comparable work.`;
}
