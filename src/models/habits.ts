import type { FinishedJob } from '../domain/record.ts';
import { ofTechnician } from './by-technician.ts';
import { mainTechnician } from './work-section.ts';

/** What people mostly do, as the models count it: the shop's mean, and each technician's shrunk to it. */
export interface Habits {
  readonly shop: number;
  readonly byTechnician: Readonly<Record<string, number>>;
}

/** A key's share of the shop's recent jobs. */
export interface Share {
  readonly key: string;
  readonly share: number;
}

/** Pseudo-records that hold a technician to the shop, and the shop to the reference. */
const shrinkage = 4;

/** More dry passes than this to a wet one take no more out. */
const mostDryPerWet = 4;

const recentDays = 180;

/** The water model's dry term: dry passes per wet pass, at most four, against one. */
export function dryTerm(dryPasses: number, wetPasses: number): number {
  return Math.min(mostDryPerWet, dryPasses / wetPasses) - 1;
}

/** Dry passes to a wet one, less the reference of one. */
export function dryHabits(records: readonly FinishedJob[]): Habits {
  const seen = new Map<string, number[]>();
  for (const job of records)
    for (const section of job.sections) {
      if (section.method === 'spot' || section.dryPasses === undefined || section.wetPasses === 0) continue;
      const technician = section.technician ?? mainTechnician(job);
      const values = seen.get(technician) ?? [];
      values.push(dryTerm(section.dryPasses, section.wetPasses));
      seen.set(technician, values);
    }
  return shrunk(seen);
}

/** The share of jobs with a last round with the vacuum, of those that say it. */
export function vacuumHabits(records: readonly FinishedJob[]): Habits {
  const seen = new Map<string, number[]>();
  for (const job of records) {
    if (job.finalVacuum === undefined) continue;
    const technician = mainTechnician(job);
    seen.set(technician, [...(seen.get(technician) ?? []), Number(job.finalVacuum)]);
  }
  return shrunk(seen);
}

function shrunk(seen: ReadonlyMap<string, readonly number[]>): Habits {
  const shop = shrunkMean([...seen.values()].flat(), 0);
  return { shop, byTechnician: Object.fromEntries([...seen].map(([key, values]) => [key, shrunkMean(values, shop)])) };
}

export function habitOf(habits: Habits, technician: string | undefined): number {
  return ofTechnician(habits.byTechnician, technician) ?? habits.shop;
}

/** Who does the shop's jobs: each technician's share of the last half year's, by minutes within a job; of all where that half year is empty. */
export function technicianShares(records: readonly FinishedJob[], now: Date): readonly Share[] {
  return shares(recent(records, now), (job) => {
    const minutes = job.labour.reduce((sum, { minutes }) => sum + minutes, 0);
    return job.labour.map((one) => ({ key: one.technician, share: one.minutes / minutes }));
  });
}

/** Which extractor the shop's extracted jobs get, in the same way; of all of them where no time is told. */
export function machineShares(records: readonly FinishedJob[], now?: Date): readonly Share[] {
  return shares(now === undefined ? records : recent(records, now), (job) =>
    job.extractor === null ? [] : [{ key: job.extractor, share: 1 }],
  );
}

function recent(records: readonly FinishedJob[], now: Date): readonly FinishedJob[] {
  const since = now.getTime() - recentDays * 24 * 3600_000;
  const late = records.filter((job) => Date.parse(job.finishedAt) >= since);
  return late.length > 0 ? late : records;
}

function shares(records: readonly FinishedJob[], ofJob: (job: FinishedJob) => readonly Share[]): readonly Share[] {
  const sum = new Map<string, number>();
  for (const job of records) for (const { key, share } of ofJob(job)) sum.set(key, (sum.get(key) ?? 0) + share);
  const total = [...sum.values()].reduce((a, b) => a + b, 0);
  return [...sum]
    .filter(([, amount]) => amount > 0)
    .map(([key, amount]) => ({ key, share: amount / total }))
    .sort((a, b) => b.share - a.share || (a.key < b.key ? -1 : 1));
}

function shrunkMean(values: readonly number[], to: number): number {
  return (values.reduce((a, b) => a + b, 0) + shrinkage * to) / (values.length + shrinkage);
}
