import { createRoute, z } from '@hono/zod-openapi';
import { dryingCheck } from '../domain/record.ts';
import { requireRole } from './auth.ts';
import { ifMatch } from './if-match.ts';
import { problemResponses } from './problem.ts';
import {
  comebackBody,
  listQuery,
  manyContent,
  receiptContent,
  receiptSchema,
  recordContent,
  recordExample,
  recordSchema,
  refParam,
  reportExample,
  reportSchema,
  storedContent,
  uploadQuery,
  versionParam,
  versionsSchema,
} from './records-schemas.ts';

const tags = ['records'];
const headers = { ETag: { schema: { type: 'string' as const }, description: 'this state of the record' } };
const receipt = (description: string) => ({ description, headers, content: receiptContent });

/** Bodies are described by reference and read by their own rules: one JSON of a large upload is parsed once. */
export const postRecords = createRoute({
  tags,
  method: 'post',
  path: '/records',
  summary: 'Add one finished job, or many',
  description: `One as JSON (at most 1 MB); many as NDJSON, a line each (256 kB), or as CSV, a row a section, an upload of at most
200 MB. Each line stands or falls alone. Sending again does no harm: the same content is \`unchanged\`, other content
under a \`ref\` that is there is a conflict. The answer comes when all that it accepts is durable. An upload that breaks off
(413, or a file that is no CSV) says how many records before it were stored. Every role may; only an owner may
\`create-missing\`.`,
  middleware: requireRole('technician'),
  request: {
    query: uploadQuery,
    body: { required: true, content: { ...recordContent, ...manyContent } },
  },
  responses: {
    200: {
      description: 'One that was there already, as it is; or what became of each of many',
      content: { 'application/json': { schema: z.union([reportSchema, receiptSchema]), example: reportExample } },
    },
    201: receipt('Stored'),
    ...problemResponses(400, 401, 403, 409, 413, 415, 422, 429),
  },
});

export const getRecords = createRoute({
  tags,
  method: 'get',
  path: '/records',
  summary: 'Finished jobs, by page or all',
  description: `By the time they ended, as JSON (\`records\` and \`next\`), NDJSON or CSV by \`Accept\`. What goes out as NDJSON or CSV
comes in again unchanged. A page's \`Link\` header names the next one too.`,
  middleware: requireRole('desk'),
  request: { query: listQuery },
  responses: {
    200: {
      description: 'One page, or with NDJSON and CSV and no limit all of them',
      content: {
        'application/json': {
          schema: {
            type: 'object',
            properties: { records: { type: 'array', items: recordSchema }, next: { type: ['string', 'null'] } },
          },
          example: { records: [recordExample], next: null },
        },
        ...manyContent,
      },
    },
    ...problemResponses(401, 403, 422, 429),
  },
});

export const getRecord = createRoute({
  tags,
  method: 'get',
  path: '/records/{ref}',
  summary: 'One finished job',
  middleware: requireRole('technician'),
  request: { params: refParam },
  responses: {
    200: { description: 'As it stands', headers, content: storedContent },
    ...problemResponses(401, 403, 404, 422, 429),
  },
});

export const putRecord = createRoute({
  tags,
  method: 'put',
  path: '/records/{ref}',
  summary: 'Replace a finished job; the former version is kept',
  description: 'The whole record, with `If-Match` on the ETag that was read. Every role may put its slips right.',
  middleware: requireRole('technician'),
  request: { params: refParam, body: { required: true, content: recordContent } },
  parameters: [ifMatch('the ETag of the state to be replaced, or `*`; needed')],
  responses: {
    200: receipt('Replaced, or unchanged'),
    ...problemResponses(400, 401, 403, 404, 412, 413, 415, 422, 428, 429),
  },
});

export const deleteRecordRoute = createRoute({
  tags,
  method: 'delete',
  path: '/records/{ref}',
  summary: 'Take a finished job out; it stays readable among its versions',
  middleware: requireRole('owner'),
  request: { params: refParam },
  parameters: [ifMatch('the ETag of the state to be deleted; where absent, whatever is there')],
  responses: { 204: { description: 'Deleted' }, ...problemResponses(401, 403, 404, 412, 422, 429) },
});

const checkExample = { hours: 6.5, dry: true };

export const postChecks = createRoute({
  tags,
  method: 'post',
  path: '/records/{ref}/checks',
  summary: 'Add a drying check, or several',
  description:
    'Hours since `finishedAt`, and whether the slowest section was dry. One that contradicts the others is refused, and one that lies in the future by more than an hour.',
  middleware: requireRole('technician'),
  request: {
    params: refParam,
    body: {
      required: true,
      content: {
        'application/json': {
          // Described and not validated here: a union would hide which field is wrong.
          schema: { oneOf: [checkJson(), { type: 'array', items: checkJson(), minItems: 1, maxItems: 50 }] },
          example: checkExample,
        },
      },
    },
  },
  responses: {
    200: receipt('There already'),
    201: receipt('Added'),
    ...problemResponses(400, 401, 403, 404, 413, 415, 422, 429),
  },
});

export const postComebacks = createRoute({
  tags,
  method: 'post',
  path: '/records/{ref}/comebacks',
  summary: 'Say what a customer came back with, or that none came',
  description: 'Goes into the `outcome`; what stood there before is kept as a version.',
  middleware: requireRole('technician'),
  request: {
    params: refParam,
    body: {
      required: true,
      content: {
        'application/json': { schema: z.toJSONSchema(comebackBody) as object, example: { comeback: 'wick-back' } },
      },
    },
  },
  responses: {
    200: receipt('There already'),
    201: receipt('Added'),
    ...problemResponses(400, 401, 403, 404, 413, 415, 422, 429),
  },
});

export const getVersions = createRoute({
  tags,
  method: 'get',
  path: '/records/{ref}/versions',
  summary: 'When and why a record changed',
  middleware: requireRole('desk'),
  request: { params: refParam },
  responses: {
    200: {
      description: 'The former versions, oldest first',
      content: {
        'application/json': {
          schema: versionsSchema,
          example: {
            ref: recordExample.ref,
            current: 2,
            former: [
              {
                version: 1,
                replacedAt: '2025-03-05T08:00:00.000Z',
                reason: 'check' as const,
                changedBy: { name: 'till', role: 'technician' as const, as: 'key' as const },
              },
            ],
          },
        },
      },
    },
    ...problemResponses(401, 403, 404, 422, 429),
  },
});

export const getVersion = createRoute({
  tags,
  method: 'get',
  path: '/records/{ref}/versions/{version}',
  summary: 'A record as it stood in one version',
  middleware: requireRole('desk'),
  request: { params: versionParam },
  responses: {
    200: { description: 'As it stood', content: storedContent },
    ...problemResponses(401, 403, 404, 422, 429),
  },
});

function checkJson() {
  return z.toJSONSchema(dryingCheck) as object; // the border to the documentation's own type of a schema
}
