import { z } from 'zod';
import { drying, finishedJob, instant, listKey, section } from './record.ts';
import { brushes, dryingAids, methods } from './vocabulary.ts';

/** A planned section: what is known before the work. */
const plannedSection = section
  .omit({ wetPasses: true, sprayedLitres: true, recoveredLitres: true, result: true, spotRounds: true })
  .extend({ dryPasses: z.int().min(0).max(20).optional() });

/** The same job another way: whatever is named replaces the plan's; sections by their place, from 0. */
const alternative = z.strictObject({
  label: z.string().min(1).max(80),
  seatsRemoved: z.boolean().optional(),
  extractor: listKey.optional(),
  technician: listKey.optional(),
  dryingAid: z.enum(dryingAids).optional(),
  sections: z
    .array(
      z.strictObject({
        section: z.int().min(0).max(39),
        method: z.enum(methods).optional(),
        brush: z.enum(brushes).optional(),
        dryPasses: z.int().min(0).max(20).optional(),
      }),
    )
    .max(40)
    .default([]),
});

/** A year near 9999 would be ready in one that no calendar writes, and that no page of given estimates could show. */
const startTime = instant
  .regex(/^2[01]/)
  .describe('a time with its offset, from 2000 to 2199, such as 2026-03-14T16:05:00+01:00');

/** A planned job: what an estimate is asked for. */
export const plannedJob = finishedJob
  .omit({
    ref: true,
    finishedAt: true,
    labour: true,
    sprayedLitres: true,
    recoveredLitres: true,
    quoted: true,
    outcome: true,
    sections: true,
    drying: true,
  })
  .extend({
    sections: z.array(plannedSection).min(1).max(40),
    drying: drying.omit({ checks: true }).optional(),
    startAt: startTime.optional(),
    labourRate: z.number().min(0).max(100_000).optional(),
    materials: z.number().min(0).max(1_000_000).optional(),
    technician: listKey.optional(),
    crew: z.int().min(1).max(20).default(1),
    alternatives: z.array(alternative).max(8).default([]),
  });

export type PlannedSection = z.output<typeof plannedSection>;
export type Alternative = z.output<typeof alternative>;
export type PlannedJob = z.output<typeof plannedJob>;
export type PlannedJobInput = z.input<typeof plannedJob>;
