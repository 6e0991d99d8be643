import { createRoute, z } from '@hono/zod-openapi';
import { type FitPlace, listFits, readFit } from '../store/fits.ts';
import { inShop } from '../store/shop-scope.ts';
import { requireRole } from './auth.ts';
import { type AppDeps, newRouter } from './env.ts';
import { endOf, type FitRun, type FitRuns } from './fit-runs.ts';
import {
  entryBody,
  entryExample,
  fitBody,
  fitEntrySchema,
  fitExample,
  fitPlace,
  fitSchema,
  runningExample,
  runningSchema,
} from './fit-schema.ts';
import { problemResponses, refusal } from './problem.ts';
import { statusOf } from './status.ts';

const fitContent = { 'application/json': { schema: fitSchema, example: fitExample } };
const runningContent = { 'application/json': { schema: runningSchema, example: runningExample } };
const location = { Location: { schema: { type: 'string' as const }, description: 'where the fit is to be read' } };

const run = createRoute({
  tags: ['fits'],
  method: 'post',
  path: '/fits',
  summary: 'Run the nightly task for this shop now',
  middleware: requireRole('owner'),
  responses: {
    200: { description: 'Nothing changed since the published fit: here it is', content: fitContent },
    201: { description: 'Done; the status tells whether it was published', headers: location, content: fitContent },
    202: {
      description: 'Goes on in the background, here or in another process',
      headers: location,
      content: runningContent,
    },
    ...problemResponses(401, 403, 429),
  },
});

const query = z.strictObject({
  cursor: z.string().transform(placeOf).optional().openapi({ type: 'string', description: '`next` of a page' }),
  limit: z.coerce.number().int().min(1).max(200).default(50).openapi({ example: 50 }),
});
const params = z.object({ id: z.uuid().openapi({ example: fitExample.id }) });

const list = createRoute({
  tags: ['fits'],
  method: 'get',
  path: '/fits',
  summary: 'The history of fits, newest first',
  middleware: requireRole('owner'),
  request: {
    query,
  },
  responses: {
    200: {
      description: 'One page; `next` is the cursor of the one after it, null on the last',
      content: {
        'application/json': {
          schema: z.object({ fits: z.array(fitEntrySchema), next: z.string().nullable() }),
          example: { fits: [entryExample], next: null },
        },
      },
    },
    ...problemResponses(401, 403, 422, 429),
  },
});

const read = createRoute({
  tags: ['fits'],
  method: 'get',
  path: '/fits/{id}',
  summary: 'One fit in full: coefficients with intervals, spread of technicians and machines, scores',
  description:
    'Under the address that `POST /v1/fits` gave of a run that goes on, also how it goes, and where it made no fit how it ended.',
  middleware: requireRole('owner'),
  request: { params },
  responses: {
    200: {
      description: 'The fit; under the id of a run that found nothing changed, the one that stands, by its own id',
      content: fitContent,
    },
    202: { description: 'Still running', content: runningContent },
    ...problemResponses(401, 403, 404, 409, 422, 429, 500),
  },
});

export function fitRoutes({ db, fitPatienceMs }: AppDeps, runs: FitRuns) {
  const find = (shopId: string, fitId: string) => inShop(db, shopId, (tx) => readFit(tx, fitId));
  return newRouter(undefined, z.object({ ...query.shape, ...params.shape }))
    .openapi(run, async (c) => {
      const { shopId } = c.get('shop');
      const going = runs.start(shopId);
      const outcome = await endOf(going, fitPatienceMs);
      if (outcome === undefined) return c.json(runningBody(going), 202, { Location: `/v1/fits/${going.fitId}` });
      if (outcome.status === 'busy') return c.json({ status: 'running' as const }, 202, { Location: '/v1/fits' });
      const fit = await find(shopId, outcome.fitId);
      if (!fit) throw new Error(`the run ended as ${outcome.status} and stored no fit ${outcome.fitId}`);
      if (outcome.status === 'unchanged') return c.json(fitBody(fit), 200);
      return c.json(fitBody(fit), 201, { Location: `/v1/fits/${fit.fitId}` });
    })
    .openapi(list, async (c) => {
      const { cursor, limit } = c.req.valid('query');
      const found = await inShop(db, c.get('shop').shopId, (tx) => listFits(tx, limit + 1, cursor));
      const page = found.slice(0, limit);
      const last = found.length > limit ? page.at(-1) : undefined;
      return c.json({ fits: page.map(entryBody), next: last ? cursorOf(last) : null }, 200);
    })
    .openapi(read, async (c) => {
      const { id } = c.req.valid('param');
      const { shopId } = c.get('shop');
      const going = runs.find(shopId, id);
      if (going) return c.json(runningBody(going), 202);
      const end = runs.endUnder(shopId, id);
      const fit = await find(shopId, end?.fitId ?? id);
      if (fit) return c.json(fitBody(fit), 200);
      if (end?.status === 'busy')
        return refusal(statusOf.conflict, 'Another run of this shop was going; GET /v1/fits tells what it made');
      if (end?.status === 'error')
        return refusal(statusOf.internal, 'This run broke down; the log has the cause, POST /v1/fits begins another');
      return refusal(statusOf.notFound, `This shop has no fit ${id}`);
    });
}

function runningBody({ fitId, startedAt }: FitRun) {
  return { id: fitId, status: 'running' as const, startedAt: startedAt.toISOString() };
}

function cursorOf({ startedAt, fitId }: FitPlace): string {
  return Buffer.from(`${startedAt.toISOString()} ${fitId}`).toString('base64url');
}

function placeOf(cursor: string, context: z.RefinementCtx): FitPlace {
  const [at = '', fitId = ''] = Buffer.from(cursor, 'base64url').toString('utf8').split(' ');
  const parsed = fitPlace.safeParse({ startedAt: at, fitId });
  if (parsed.success) return parsed.data;
  context.addIssue({ code: 'custom', message: 'the `next` of a page, as it was given' });
  return z.NEVER;
}
