import { z } from '@hono/zod-openapi';
import { type FinishedJobInput, finishedJob, instant, jobRef, listKey } from '../domain/record.ts';
import { comebacks, damages, fabrics, roles, soils } from '../domain/vocabulary.ts';
import { placeAt } from './records-cursor.ts';

/** An invented job, as sent. */
export const recordExample = {
  ref: 'J-2025-0117',
  finishedAt: '2025-03-04T15:20:00+00:00',
  bodyStyle: 'sedan',
  modelYear: 2019,
  seatsRemoved: true,
  labour: [{ technician: 'mira', minutes: 195 }],
  extractor: 'drum-a',
  dilution: 20,
  solutionC: 45,
  sprayedLitres: 9.5,
  recoveredLitres: 8,
  finalVacuum: true,
  sections: [
    {
      area: 'front-seat',
      count: 2,
      fabric: 'flat-woven',
      soil: 'moderate',
      method: 'extraction',
      wetPasses: 2,
      dryPasses: 2,
    },
    {
      area: 'rear-bench',
      fabric: 'flat-woven',
      soil: 'heavy',
      stains: ['drink'],
      method: 'spot-then-extraction',
      brush: 'soft',
      wetPasses: 3,
      spotRounds: 1,
    },
  ],
  drying: { aid: 'fan', airC: 19, rhPercent: 55, checks: [{ hours: 3, dry: false }] },
  quoted: { hours: 3.5, price: 160 },
  outcome: { handover: 'clean' },
} as const;
const storedExample: FinishedJobInput = JSON.parse(JSON.stringify(recordExample));

/** The record is checked by its own rules, all at once; here it is only described. */
export const recordComponent = (() => {
  const { $schema: _, ...schema } = z.toJSONSchema(finishedJob, { io: 'input', target: 'draft-2020-12' });
  const description = 'A finished job. Defaults are filled in; unknown fields are refused.';
  return { ...schema, description } as object; // the border to the documentation's own type of a schema
})();
export const recordSchema = { $ref: '#/components/schemas/FinishedJob' };

/** A record as it is answered. */
export const storedContent = { 'application/json': { schema: finishedJob, example: storedExample } };
export const recordContent = { 'application/json': { schema: recordSchema, example: recordExample } };
const ndjsonExample = `${JSON.stringify(recordExample)}\n${JSON.stringify({ ...recordExample, ref: 'J-2025-0118' })}\n`;
const csvExample = [
  'ref,finished_at,body_style,labour,extractor,area,count,fabric,soil,method,wet_passes,checks',
  'J-2025-0117,2025-03-04T15:20:00+00:00,sedan,mira:195,drum-a,front-seat,2,flat-woven,moderate,extraction,2,3:wet;6:dry',
  'J-2025-0117,2025-03-04T15:20:00+00:00,sedan,mira:195,drum-a,rear-bench,1,flat-woven,heavy,extraction,3,3:wet;6:dry',
].join('\r\n');
export const manyContent = {
  'application/x-ndjson': { schema: { type: 'string' as const }, example: ndjsonExample },
  'text/csv': { schema: { type: 'string' as const }, example: csvExample },
};

const faultSchema = z.object({
  pointer: z.string(),
  field: z.string(),
  value: z.unknown().optional(),
  message: z.string(),
  allowed: z.array(z.string()).readonly().optional(),
  line: z.int().optional().openapi({ description: "in a CSV file, the section's own row" }),
});

const doubtSchema = z.object({
  rule: z.string(),
  pointer: z.string(),
  field: z.string(),
  message: z.string(),
  leftOutOf: z.array(z.enum(['passes', 'labour', 'water', 'drying'])).readonly(),
});

export const receiptSchema = z
  .object({
    ref: z.string(),
    outcome: z.enum(['stored', 'unchanged']),
    version: z.int().optional(),
    doubts: z.array(doubtSchema).readonly(),
    dryRun: z.literal(true).optional(),
  })
  .openapi('Receipt', { description: 'The record is kept; `doubts` tells what in it is hard to believe.' });
export type ReceiptBody = z.input<typeof receiptSchema>;
const receiptExample = { ref: recordExample.ref, outcome: 'stored' as const, version: 1, doubts: [] };
export const receiptContent = { 'application/json': { schema: receiptSchema, example: receiptExample } };

export const reportSchema = z
  .object({
    accepted: z.int(),
    unchanged: z.int(),
    conflicting: z.int(),
    rejected: z.int(),
    doubtful: z.int(),
    doubtfulRecords: z
      .array(z.object({ line: z.int(), ref: z.string(), doubts: z.array(doubtSchema).readonly() }))
      .readonly()
      .optional()
      .openapi({ description: 'the first thousand of the doubtful, and what is hard to believe in each' }),
    problems: z
      .array(z.object({ line: z.int(), ref: z.string().optional(), errors: z.array(faultSchema).readonly() }))
      .readonly(),
    problemsLeftOut: z.int().optional(),
    dryRun: z.literal(true).optional(),
  })
  .openapi('UploadReport');
const soilFault = {
  pointer: '/sections/0/soil',
  field: 'sections[0].soil',
  value: 'medium',
  message: 'sections[0].soil is "medium": one of light, moderate, heavy, severe',
  allowed: [...soils],
};
const extractorDoubt = {
  rule: 'extraction-without-extractor',
  pointer: '/extractor',
  field: 'extractor',
  message: 'no extractor is named, but sections[0] was extracted',
  leftOutOf: [],
};
export const reportExample = {
  accepted: 498,
  unchanged: 1,
  conflicting: 0,
  rejected: 1,
  doubtful: 1,
  doubtfulRecords: [{ line: 9, ref: 'J-2025-0125', doubts: [extractorDoubt] }],
  problems: [{ line: 17, ref: 'J-2025-0133', errors: [soilFault] }],
};

const flag = (description: string) =>
  z
    .enum(['true', 'false'])
    .optional()
    .openapi({ description })
    .transform((value) => value === 'true');

export const uploadQuery = z.strictObject({
  'all-or-nothing': flag('take all records of an upload or none'),
  'dry-run': flag('check everything, store nothing'),
  'create-missing': flag('put unknown technicians and machines on the lists, under their key as name'),
});

export const day = z.iso
  .date()
  .regex(/^(19|20|21)/)
  .describe('a day, such as 2026-03-14');
const boundary = instant.regex(/^(19|20|21)/).describe('an instant with its offset, such as 2026-03-14T16:05:00+01:00');
const moment = z.union([day, boundary]).openapi({ type: 'string', example: '2025-03-01' });

export const listQuery = z.strictObject({
  from: moment.optional().openapi({ description: "a day in the shop's time zone, or an instant; itself included" }),
  to: moment.optional().openapi({ description: 'a day, itself included, or an instant, itself left out' }),
  technician: listKey.optional().describe('named in the labour or as who worked a section'),
  extractor: listKey.optional(),
  fabric: z.enum(fabrics).optional(),
  soil: z.enum(soils).optional().openapi({ description: 'with a fabric too: one section has both' }),
  order: z.enum(['oldest', 'newest']).default('oldest').openapi({ description: 'which comes first' }),
  limit: z.coerce.number().int().min(1).max(1000).optional().openapi({
    description: 'records a page; 100 where absent, but NDJSON and CSV without it give all',
  }),
  cursor: z
    .string()
    .max(400)
    .transform((text, check) => {
      const place = placeAt(text);
      if (!place) check.addIssue({ code: 'custom', message: 'the `next` of a page before' });
      return place;
    })
    .optional()
    .openapi({ type: 'string', description: '`next` of the page before' }),
});

export const refParam = z.object({
  ref: jobRef,
});
export const versionParam = refParam.extend({
  version: z.coerce.number().int().min(1).max(2_147_483_647).openapi({ example: 1 }),
});

/** All that the addresses of records may be asked with. */
export const recordParameters = z.object({ ...uploadQuery.shape, ...listQuery.shape, ...versionParam.shape });

/** What a comeback teaches, days after the work. */
export const comebackBody = z.strictObject({ comeback: z.enum(comebacks), damage: z.enum(damages).optional() });

export const versionsSchema = z.object({
  ref: z.string(),
  current: z.int().nullable().openapi({ description: 'null where the record was deleted' }),
  former: z.array(
    z.object({
      version: z.int(),
      replacedAt: z.iso.datetime(),
      reason: z.enum(['replaced', 'deleted', 'check', 'comeback']),
      changedBy: z
        .object({ name: z.string(), role: z.enum(roles), as: z.enum(['person', 'key']) })
        .nullable()
        .openapi({ description: 'a person, or a key by its label, with the role of now; null where it is not known' }),
    }),
  ),
});
