import type { DryingCheck, FinishedJobInput } from '../src/domain/record.ts';
import type { Comeback, Damage, DryingAid } from '../src/domain/vocabulary.ts';
import type { Vehicle } from './customers.ts';
import { handover } from './process-after.ts';
import { airAround } from './process-drying.ts';
import type { WorkedPart } from './process-time.ts';
import type { Random } from './random.ts';
import { type Extractor, type Habits, listHours, listMaterials, listRate } from './scenario.ts';
import { relativeHumidity, type Weather } from './weather.ts';

/** One job as it really was; hours count from 1970, in the shop's time zone. */
export interface TrueJob {
  readonly vehicle: Vehicle;
  readonly worked: readonly WorkedPart[];
  readonly extractor: Extractor | undefined;
  readonly technicians: readonly string[];
  readonly habits: Habits;
  readonly minutes: number;
  readonly finishedHour: number;
  readonly finalVacuum: boolean;
  readonly aid: DryingAid;
  readonly checks: readonly DryingCheck[];
  /** Undefined where the time is not up yet. */
  readonly aftermath: { readonly comeback: Comeback; readonly damage: Damage } | undefined;
}

/** What gets written down of a job: rounded, now and then left out, never more than was seen. */
export function writeDown(job: TrueJob, ref: string, weather: Weather, random: Random): FinishedJobInput {
  const { vehicle } = job;
  return {
    ref,
    finishedAt: new Date(Math.round(job.finishedHour * 60) * 60_000).toISOString().replace('.000Z', 'Z'),
    bodyStyle: vehicle.bodyStyle,
    ...(random.chance(0.85) && { modelYear: yearOf(job.finishedHour) - vehicle.age }),
    seatsRemoved: vehicle.seatsRemoved,
    labour: writeLabour(job, random),
    extractor: job.extractor?.key ?? null,
    ...(job.extractor && random.chance(0.8) && { dilution: 20 }),
    ...(job.extractor && random.chance(0.4) && { solutionC: job.extractor.heated ? 60 : 40 }),
    ...(random.chance(job.habits.readsTanks) && readTanks(job)),
    ...(random.chance(0.9) && { finalVacuum: job.finalVacuum }),
    sections: writeSections(job, random),
    ...writeDrying(job, weather, random),
    ...(random.chance(0.92) && { quoted: quote(vehicle) }),
    ...writeOutcome(job, random),
  };
}

/** Three times in the history the two readings got into each other's box, and nobody saw it. */
export function mixUpReadings(records: readonly FinishedJobInput[]): FinishedJobInput[] {
  const differing = records.filter(({ sprayedLitres = 0, recoveredLitres = 0 }) => sprayedLitres > recoveredLitres);
  const mixedUp = new Set([0.2, 0.5, 0.85].map((share) => differing[Math.floor(share * differing.length)]));
  return records.map((record) =>
    mixedUp.has(record)
      ? { ...record, sprayedLitres: record.recoveredLitres, recoveredLitres: record.sprayedLitres }
      : record,
  );
}

/** The crude rule of this counter: hours by body style and package alone; neither soil nor machine is asked about. */
export function quote(vehicle: Vehicle): { hours: number; price: number } {
  const share = { seats: 1, full: 1.6, 'one-area': 0.4, spots: 0.3 }[vehicle.order];
  const hours = Math.round(2 * listHours[vehicle.bodyStyle] * share) / 2;
  return { hours, price: hours * listRate + listMaterials };
}

/** Minutes are written to the next five, shared by two almost evenly. */
function writeLabour(job: TrueJob, random: Random): FinishedJobInput['labour'] {
  const first = job.technicians.length > 1 ? random.between(0.5, 0.6) : 1;
  return job.technicians.map((technician, i) => {
    const share = i === 0 ? first : (1 - first) / (job.technicians.length - 1);
    return { technician, minutes: Math.max(5, 5 * Math.round((job.minutes * share) / 5)) };
  });
}

/** Whole litres off the sight tubes; recovered above sprayed would be noticed, and is written as all of it. */
function readTanks(job: TrueJob): { sprayedLitres?: number; recoveredLitres?: number } {
  if (!job.extractor) return {};
  const sprayedLitres = Math.round(job.worked.reduce((sum, { water }) => sum + water.sprayedLitres, 0));
  const recovered = Math.round(job.worked.reduce((sum, { water }) => sum + water.recoveredLitres, 0));
  return { sprayedLitres, recoveredLitres: Math.min(recovered, sprayedLitres) };
}

function writeSections(job: TrueJob, random: Random): FinishedJobInput['sections'] {
  const measured = random.chance(0.45);
  const counted = random.chance(0.75);
  return job.worked.map(({ part, soil, water }) => ({
    area: part.area,
    count: part.count,
    ...(measured && { surfaceM2: Math.round(10 * part.surfaceM2) / 10 }),
    fabric: part.fabric,
    soil: part.soil,
    stains: [...part.stains],
    method: part.method,
    ...(random.chance(0.9) && { brush: soil.brush }),
    wetPasses: soil.wetPasses,
    ...(part.method === 'spot-then-extraction' && { spotRounds: soil.spotRounds }),
    ...(counted && part.method !== 'spot' && { dryPasses: water.dryPasses }),
    result: soil.result,
  }));
}

function writeDrying(job: TrueJob, weather: Weather, random: Random): Pick<FinishedJobInput, 'drying'> {
  const written = random.chance(job.habits.checksDrying);
  if (!written && random.chance(0.4)) return {};
  const air = airAround(job.aid, job.finishedHour, weather);
  const read = random.chance(0.8);
  return {
    drying: {
      ...(random.chance(0.95) && { aid: job.aid }),
      ...(read && { airC: Math.round(air.airC), rhPercent: Math.round(relativeHumidity(air)) }),
      checks: written ? [...job.checks] : [],
    },
  };
}

function writeOutcome(job: TrueJob, random: Random): Pick<FinishedJobInput, 'outcome'> {
  const state = handover(job.worked);
  if (!job.aftermath) return { outcome: { handover: state } };
  const { comeback, damage } = job.aftermath;
  const known = comeback !== 'none' || random.chance(0.8);
  return { outcome: { handover: state, ...(known && { comeback }), ...(damage !== 'none' && { damage }) } };
}

function yearOf(hour: number): number {
  return new Date(hour * 3_600_000).getUTCFullYear();
}
