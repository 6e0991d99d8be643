import { setTimeout as pause } from 'node:timers/promises';
import { createRoute, z } from '@hono/zod-openapi';
import { checkReady } from '../store/ready.ts';
import { type AppDeps, newRouter } from './env.ts';
import { problemResponses, refusal } from './problem.ts';
import { statusOf } from './status.ts';

/** A probe that has had no answer for this long counts as a failure. */
const readyWithinMs = 2_000;

const statusSchema = z.object({ status: z.literal('ok') }).openapi({ example: { status: 'ok' } });
const ok = { description: 'It is', content: { 'application/json': { schema: statusSchema } } };
const open = { tags: ['operation'], security: [] };

const health = createRoute({
  ...open,
  method: 'get',
  path: '/healthz',
  summary: 'Is the process alive?',
  responses: { 200: ok },
});

const ready = createRoute({
  ...open,
  method: 'get',
  path: '/readyz',
  summary: 'Is the database reachable and migrated?',
  responses: { 200: ok, ...problemResponses(503) },
});

const counts = createRoute({
  ...open,
  method: 'get',
  path: '/metrics',
  summary: 'Counts of this process as Prometheus text',
  responses: {
    200: {
      description: 'Exposition format 0.0.4',
      content: { 'text/plain': { schema: z.string(), example: 'secondpass_records_accepted_total 42\n' } },
    },
  },
});

/** What whoever runs the server asks; no key needed, and nothing of any shop told. */
export function systemRoutes(deps: AppDeps) {
  return newRouter()
    .openapi(health, (c) => c.json({ status: 'ok' as const }, 200))
    .openapi(ready, async (c) => {
      const fault = await databaseFault(deps);
      if (!fault) return c.json({ status: 'ok' as const }, 200);
      c.get('log').warn({ err: fault }, 'not ready');
      return refusal(statusOf.unavailable, 'The database cannot be reached or is not migrated; the log has the cause');
    })
    .openapi(counts, (c) => c.text(deps.metrics.text(), 200));
}

/** Why the database is not to be used; undefined where it is. */
async function databaseFault(deps: AppDeps): Promise<unknown> {
  const late = pause(readyWithinMs, new Error(`no answer in ${readyWithinMs} ms`), { ref: false });
  const found = checkReady(deps.db).then(() => undefined);
  return Promise.race([found, late]).catch((error: unknown) => error);
}
