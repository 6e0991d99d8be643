import { createRoute, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { readShopFit } from '../models/fit-codec.ts';
import { type FitRecord, readFit, readPosterior } from '../store/fits.ts';
import { publishByHand, withdrawByHand } from '../store/fits-by-hand.ts';
import { lockRun } from '../store/run-lock.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import { requireRole } from './auth.ts';
import { type AppDeps, type AppEnv, newRouter } from './env.ts';
import { entryExample, fitBody, fitExample, fitSchema } from './fit-schema.ts';
import { problemResponses, refusal } from './problem.ts';
import { statusOf } from './status.ts';

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

/** What the owner decides about a fit against the night's own judgement. */
export function fitsByHandRoutes({ db, now }: AppDeps) {
  const change = (c: Context<AppEnv>, fitId: string, work: (tx: ShopTransaction, fit: FitRecord) => Promise<Refused>) =>
    inShop(db, c.get('shop').shopId, async (tx) => {
      if (!(await lockRun(tx)))
        return refusal(statusOf.conflict, 'A run of this shop is going: ask again when it is done');
      const fit = await readFit(tx, fitId);
      if (!fit) return refusal(statusOf.notFound, `This shop has no fit ${fitId}`);
      const refused = await work(tx, fit);
      if (refused !== undefined) return refusal(statusOf.conflict, refused);
      return c.json(fitBody((await readFit(tx, fitId)) ?? fit), 200);
    });
  const said = (c: Context<AppEnv>, done: string) => {
    const at = now().toISOString();
    return `${done} by hand on ${at.slice(0, 10)} at ${at.slice(11, 16)} UTC with key ${c.get('shop').keyId}.`;
  };
  return newRouter()
    .openapi(publish, (c) =>
      change(c, c.req.valid('param').id, async (tx, { fitId, status }) => {
        if (status === 'published') return undefined;
        const refused = unusable(await readPosterior(tx, fitId), fitId);
        if (refused === undefined) await publishByHand(tx, fitId, said(c, 'Published'));
        return refused;
      }),
    )
    .openapi(withdraw, (c) =>
      change(c, c.req.valid('param').id, async (tx, { fitId, status }) => {
        if (status === 'withdrawn') return undefined;
        if (status !== 'published') return `Fit ${fitId} is ${status}: only the published one can be withdrawn`;
        await withdrawByHand(tx, fitId, said(c, 'Withdrawn'));
        return undefined;
      }),
    );
}

/** Why not, in words; undefined where there is nothing against it. */
type Refused = string | undefined;

function unusable(posterior: string | undefined, fitId: string): Refused {
  if (posterior === undefined) return `Fit ${fitId} failed: there is nothing to publish`;
  if (readShopFit(posterior) === undefined)
    return `Fit ${fitId} was made by another version of the program, which this one cannot read`;
  return undefined;
}
