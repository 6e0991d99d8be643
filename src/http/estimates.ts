import { createRoute, z } from '@hono/zod-openapi';
import type { TypedResponse } from 'hono';
import { readEstimate } from '../store/estimates.ts';
import { inShop } from '../store/shop-scope.ts';
import { requireRole } from './auth.ts';
import { type AppDeps, newRouter } from './env.ts';
import { answerExample, answerSchema } from './estimate-answer.ts';
import type { EstimateMaker } from './estimate-maker.ts';
import { plannedBody, plannedExample } from './estimate-schemas.ts';
import { faultsProblem, problemResponses, refusal } from './problem.ts';
import { statusOf } from './status.ts';

const answer = { 'application/json': { schema: answerSchema, example: answerExample } };
const location = { Location: { schema: { type: 'string' as const }, description: 'where it is to be read again' } };

const make = createRoute({
  tags: ['estimates'],
  method: 'post',
  path: '/estimates',
  summary: 'Estimate a planned job: passes, hours, water, drying, a quote',
  description: `The same request against the same fit and settings gives the same numbers to the last digit. A shop without a fit is answered
from the rules of thumb alone. Quantiles are p05 p10 p25 p50 p75 p80 p90 p95.`,
  middleware: requireRole('desk'),
  request: {
    body: { required: true, content: { 'application/json': { schema: plannedBody, example: plannedExample } } },
  },
  responses: {
    201: { description: 'Made and stored', headers: location, content: answer },
    ...problemResponses(400, 401, 403, 413, 415, 422, 429),
  },
});

const params = z.object({ id: z.uuid().openapi({ example: answerExample.id }) });

const read = createRoute({
  tags: ['estimates'],
  method: 'get',
  path: '/estimates/{id}',
  summary: 'A stored estimate, word for word',
  middleware: requireRole('desk'),
  request: { params },
  responses: {
    200: { description: 'As it was given', content: answer },
    ...problemResponses(401, 403, 404, 422, 429),
  },
});

export function estimateRoutes({ db }: Pick<AppDeps, 'db'>, estimates: EstimateMaker) {
  return newRouter(undefined, params)
    .openapi(make, async (c) => {
      const made = await estimates.make(c.get('shop').shopId, c.req.valid('json'), await c.req.text());
      if (!made.ok) return faultsProblem(statusOf.invalid, made.faults);
      const { estimateId, answer } = made.value;
      return jsonText(answer, 201, { Location: `/v1/estimates/${estimateId}` });
    })
    .openapi(read, async (c) => {
      const { id } = c.req.valid('param');
      const text = await inShop(db, c.get('shop').shopId, (tx) => readEstimate(tx, id));
      return text === undefined ? refusal(statusOf.notFound, `This shop has no estimate ${id}`) : jsonText(text, 200);
    });
}

/** Text that is JSON already, so that what is stored and what is given are the same to the last character. */
function jsonText<S extends 200 | 201>(text: string, status: S, headers: Readonly<Record<string, string>> = {}) {
  const response = new Response(text, { status, headers: { ...headers, 'Content-Type': 'application/json' } });
  // The border to Hono's route types: a response carries its body's type only as a phantom.
  return response as Response & TypedResponse<z.output<typeof answerSchema>, S, 'json'>;
}
