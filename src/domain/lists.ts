import { z } from 'zod';
import { type Fault, fault } from './faults.ts';
import { listKey } from './record.ts';
import { grades } from './vocabulary.ts';

const day = z.iso
  .date()
  .regex(/^(19|20|21)/)
  .describe('a day from 1900 to 2199, such as 2026-03-14');
const span = { from: day.optional(), until: day.optional() };
const name = z
  .string()
  .min(1)
  .max(120)
  .regex(/^[^\p{Cc}\p{Cs}]*$/u)
  .describe('text of 1 to 120 characters, no control characters');

export const technician = z.strictObject({ key: listKey, name, ...span });

export const machine = z.strictObject({
  key: listKey,
  name,
  kind: z.literal('extractor'),
  grade: z.enum(grades),
  waterLiftKpa: z.number().gt(0).max(100).optional(),
  airflowM3h: z.number().gt(0).max(10_000).optional(),
  heated: z.boolean().optional(),
  price: z.number().min(0).max(10_000_000).optional(),
  ...span,
});

export const technicianList = z.array(technician).max(1000);
export const machineList = z.array(machine).max(1000);

/** A short name made of a long one: `Ana M.` gives `ana-m`; empty where nothing is left. */
export function keyFrom(name: string): string {
  return name
    .normalize('NFKD')
    .replace(/\p{Mark}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 64);
}

/** What a list's entries must hold together: each key once, and no end before its beginning. */
export function listFaults(list: readonly { key: string; from?: string; until?: string }[]): Fault[] {
  const first = new Map<string, number>();
  return list.flatMap(({ key, from, until }, i) => {
    const before = first.get(key);
    if (before !== undefined) return [fault([i, 'key'], key, `each key once; [${before}] has it`)];
    first.set(key, i);
    return from !== undefined && until !== undefined && until < from
      ? [fault([i, 'until'], until, `not before from, ${from}`)]
      : [];
  });
}

/** Those who have not ended by this day of the shop's calendar; the last day is one of work. */
export function stillInUse<T extends { readonly until?: string | undefined }>(list: readonly T[], today: string): T[] {
  return list.filter(({ until }) => until === undefined || until >= today);
}

export type Technician = z.output<typeof technician>;
export type Machine = z.output<typeof machine>;
