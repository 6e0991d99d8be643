import { z } from 'zod';
import {
  areas,
  bodyStyles,
  brushes,
  comebacks,
  damages,
  dryingAids,
  fabrics,
  methods,
  results,
  soils,
  stains,
} from './vocabulary.ts';

/** Key of a technician or a machine: the shop's own short name for it. */
export const listKey = z
  .string()
  .regex(/^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$/)
  .describe('1 to 64 letters, digits, dots, dashes or underscores, the first a letter or digit');

/** No control characters: the job number is part of addresses, of CSV cells and of log lines. */
const jobRefOf = (text: z.ZodString) =>
  text
    .min(1)
    .max(64)
    .regex(/^(?!\.{1,2}$)[^\p{Cc}\p{Cs}]*$/u)
    .describe('text of 1 to 64 characters, no control characters, not one or two dots alone');

/** As an address names it: to the letter. */
export const jobRef = jobRefOf(z.string());

/** RFC 3339, which lets `t` and `z` be small too (its section 5.6): one content is one text, so they are kept as capitals. */
export const instant = z
  .string()
  .toUpperCase()
  .check(z.iso.datetime({ offset: true }));

/** An id may come in capitals too (RFC 9562): kept as estimates write it, as it is looked for by its text. */
const estimateId = z.string().toLowerCase().check(z.uuid());

const litres = z.number().min(0).max(1000);

export const section = z.strictObject({
  area: z.enum(areas),
  count: z.int().min(1).max(20).default(1),
  surfaceM2: z.number().gt(0).max(30).optional(),
  fabric: z.enum(fabrics),
  soil: z.enum(soils),
  stains: z.array(z.enum(stains)).max(stains.length).default([]),
  method: z.enum(methods),
  brush: z.enum(brushes).optional(),
  wetPasses: z.int().min(0).max(12),
  spotRounds: z.int().min(0).max(12).optional(),
  dryPasses: z.int().min(0).max(20).optional(),
  sprayedLitres: litres.optional(),
  recoveredLitres: litres.optional(),
  technician: listKey.optional(),
  result: z.enum(results).default('clean'),
});

export const dryingCheck = z.strictObject({
  hours: z.number().min(0).max(1000),
  dry: z.boolean(),
});

export const drying = z.strictObject({
  aid: z.enum(dryingAids).optional(),
  airC: z.number().min(-20).max(60).optional(),
  rhPercent: z.number().min(1).max(100).optional(),
  airSpeedMs: z.number().min(0).max(15).optional(),
  checks: z.array(dryingCheck).max(50).default([]),
});

/** A finished job as sent and as stored; cross-field and calendar rules stand in `record-rules.ts`. */
export const finishedJob = z.strictObject({
  ref: jobRefOf(z.string().trim()),
  finishedAt: instant,
  bodyStyle: z.enum(bodyStyles),
  modelYear: z.int().min(1950).optional(),
  seatsRemoved: z.boolean().default(false),
  labour: z
    .array(z.strictObject({ technician: listKey, minutes: z.number().min(0).max(4320) }))
    .min(1)
    .max(20),
  extractor: listKey.nullable().default(null),
  dilution: z.number().gt(0).max(10000).optional(),
  solutionC: z.number().min(0).max(100).optional(),
  sprayedLitres: litres.optional(),
  recoveredLitres: litres.optional(),
  finalVacuum: z.boolean().optional(),
  sections: z.array(section).min(1).max(40),
  drying: drying.optional(),
  quoted: z
    .strictObject({
      hours: z.number().gt(0).max(1000).optional(),
      price: z.number().min(0).max(1_000_000).optional(),
      estimate: estimateId.optional(),
    })
    .optional(),
  outcome: z
    .strictObject({
      handover: z.enum(results).optional(),
      comeback: z.enum(comebacks).optional(),
      damage: z.enum(damages).optional(),
    })
    .optional(),
  note: z
    .string()
    .max(2000)
    .regex(/^[^\0\p{Cs}]*$/u) // what PostgreSQL's text cannot hold
    .describe('text of at most 2000 characters, no NUL and no half of a surrogate pair')
    .optional(),
});

export type Section = z.output<typeof section>;
export type FinishedJob = z.output<typeof finishedJob>;
export type FinishedJobInput = z.input<typeof finishedJob>;
export type DryingCheck = z.output<typeof dryingCheck>;
