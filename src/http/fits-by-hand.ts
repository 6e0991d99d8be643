import { createRoute, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { requireRole } from './auth.ts';
import { type AppDeps, type AppEnv, newRouter } from './env.ts';
import { decideFit, type FitDecision } from './fit-decision.ts';
import { entryExample, fitBody, fitExample, fitSchema } from './fit-schema.ts';
import { problemResponses, refusal } from './problem.ts';

const byHand = (description: string, example: z.infer<typeof fitSchema>) => ({
  200: { description, content: { 'application/json': { schema: fitSchema, example } } },
  ...problemResponses(401, 403, 404, 409, 422, 429),
});

const params = z.object({ id: z.uuid().openapi({ example: entryExample.id }) });
const publishedWords = 'Published by hand on 2025-03-05 at 10:00 UTC with key 5f0c2d9a41be.';
const withdrawnWords = 'Withdrawn by hand on 2025-03-05 at 10:00 UTC with key 5f0c2d9a41be.';

const publish = createRoute({
  tags: ['fits'],
  method: 'post',
  path: '/fits/{id}/publish',
  summary: 'Quote from this fit from now on, whatever the night made of it',
  description:
    'The one in use is superseded. It holds until the records change and the night publishes another. Who did so, and when, is added to the reason.',
  middleware: requireRole('owner'),
  request: { params },
  responses: byHand('In use; the same where it was already', { ...fitExample, reason: publishedWords }),
});

const withdraw = createRoute({
  tags: ['fits'],
  method: 'post',
  path: '/fits/{id}/withdraw',
  summary: 'Quote from this fit no more',
  description:
    'Estimates come from the rules of thumb until the owner publishes another fit, or the records change and the night does. Who did so, and when, is added to the reason.',
  middleware: requireRole('owner'),
  request: { params },
  responses: byHand('Out of use; the same where it was already', {
    ...fitExample,
    status: 'withdrawn',
    reason: withdrawnWords,
  }),
});

/** What the owner decides about a fit against the night's own judgement, asked for by a program. */
export function fitsByHandRoutes(deps: AppDeps) {
  const decide = async (c: Context<AppEnv>, what: FitDecision['what'], fitId: string) => {
    const { shopId, keyId } = c.get('shop');
    const decided = await decideFit(deps, shopId, { what, fitId, who: `with key ${keyId}` });
    return 'whyNot' in decided ? refusal(decided.status, decided.whyNot) : c.json(fitBody(decided.fit), 200);
  };
  return newRouter(undefined, params)
    .openapi(publish, (c) => decide(c, 'publish', c.req.valid('param').id))
    .openapi(withdraw, (c) => decide(c, 'withdraw', c.req.valid('param').id));
}
