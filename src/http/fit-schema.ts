import { z } from '@hono/zod-openapi';
import type { FitEntry, FitRecord } from '../store/fits.ts';

const statuses = ['published', 'superseded', 'refused', 'failed', 'withdrawn'] as const;

const entry = {
  id: z.uuid(),
  status: z.enum(statuses),
  reason: z.string().nullable().openapi({
    description:
      'why the night did not publish it, and who published or withdrew it by hand and when; null where neither',
  }),
  dataState: z.string().openapi({ description: 'what it was made from: the same state gives the same fit' }),
  startedAt: z.iso.datetime(),
  finishedAt: z.iso.datetime(),
  jobs: z.int().openapi({ description: 'finished jobs read' }),
};

export const fitEntrySchema = z.object(entry);

export const fitSchema = z.object({
  ...entry,
  summary: z.unknown().openapi({
    description:
      'coefficients with intervals, spread of technicians and machines; the term `night` of drying is the logarithm of how much longer it takes from 18:00 to 8:00 than by day',
  }),
  scores: z.unknown().openapi({ description: 'forecasts scored on jobs they had not seen; null where none were made' }),
});

/** Where a page of the history ended, as an address says it. PostgreSQL knows no year 0, which the form of a date does. */
export const fitPlace = z.object({
  startedAt: z.iso
    .datetime()
    .regex(/^[12]/)
    .transform((text) => new Date(text)),
  fitId: z.uuid(),
});

/** Another process's run has neither id nor start here: it will stand in the history. */
export const runningSchema = z.object({
  id: z.uuid().optional(),
  status: z.literal('running'),
  startedAt: z.iso.datetime().optional(),
});

export const entryExample: z.infer<typeof fitEntrySchema> = {
  id: '6f1f2b0e-6a60-4a7c-9d53-0c1f6a3c9b11',
  status: 'published',
  reason: null,
  dataState: '412.37.9a0c1be2d4f58e71',
  startedAt: '2025-03-05T02:30:00.120Z',
  finishedAt: '2025-03-05T02:30:03.480Z',
  jobs: 412,
};

export const fitExample: z.infer<typeof fitSchema> = { ...entryExample, summary: { models: {} }, scores: null };

export const runningExample = { id: entryExample.id, status: 'running' as const, startedAt: entryExample.startedAt };

export function entryBody(fit: FitEntry): z.infer<typeof fitEntrySchema> {
  const { fitId, startedAt, finishedAt, nJobs, status, reason, dataState } = fit;
  const times = { startedAt: startedAt.toISOString(), finishedAt: finishedAt.toISOString() };
  return { id: fitId, status, reason, dataState, ...times, jobs: nJobs };
}

export function fitBody(fit: FitRecord): z.infer<typeof fitSchema> {
  return { ...entryBody(fit), summary: fit.summary, scores: fit.scores };
}
