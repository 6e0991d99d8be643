import { createRoute, z } from '@hono/zod-openapi';
import { shownName } from '../domain/shown-name.ts';
import { roles } from '../domain/vocabulary.ts';
import { createKey, listKeys, lockOwnerKeys, revokeKey, type StoredKey } from '../store/keys.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import { requireRole } from './auth.ts';
import { type AppDeps, newRouter } from './env.ts';
import type { KeyVerifier } from './key-verifier.ts';
import { problemResponses, refusal } from './problem.ts';
import { statusOf } from './status.ts';

const newKey = z.strictObject({
  role: z.enum(roles),
  label: shownName.describe('whose key it is, one line of 1 to 120 characters'),
});

const keyEntry = z.object({
  keyId: z.string(),
  role: z.enum(roles),
  label: z.string(),
  createdAt: z.iso.datetime(),
  revokedAt: z.iso.datetime().nullable(),
});

const entryExample = {
  keyId: '5f0c2d9a41be',
  role: 'desk' as const,
  label: 'front desk (invented)',
  createdAt: '2025-03-04T09:00:00.000Z',
  revokedAt: null,
};
const madeExample = { keyId: entryExample.keyId, role: entryExample.role, label: entryExample.label, key: 'spk_…' };

const list = createRoute({
  tags: ['shop'],
  method: 'get',
  path: '/keys',
  summary: 'All keys of the shop, revoked ones too; never their secrets',
  middleware: requireRole('owner'),
  responses: {
    200: {
      description: 'Oldest first',
      content: {
        'application/json': { schema: z.object({ keys: z.array(keyEntry) }), example: { keys: [entryExample] } },
      },
    },
    ...problemResponses(401, 403, 429),
  },
});

const create = createRoute({
  tags: ['shop'],
  method: 'post',
  path: '/keys',
  summary: 'Make a key; the answer is the only time it is shown',
  middleware: requireRole('owner'),
  request: {
    body: {
      required: true,
      content: { 'application/json': { schema: newKey, example: { role: 'desk', label: 'front desk (invented)' } } },
    },
  },
  responses: {
    201: {
      description: 'Made',
      content: {
        'application/json': {
          schema: z.object({ keyId: z.string(), role: z.enum(roles), label: z.string(), key: z.string() }),
          example: madeExample,
        },
      },
    },
    ...problemResponses(400, 401, 403, 413, 415, 422, 429),
  },
});

const revoke = createRoute({
  tags: ['shop'],
  method: 'delete',
  path: '/keys/{keyId}',
  summary: 'Revoke a key; it works no more, within two seconds everywhere',
  middleware: requireRole('owner'),
  request: { params: z.object({ keyId: z.string().openapi({ example: entryExample.keyId }) }) },
  responses: { 204: { description: 'Revoked' }, ...problemResponses(401, 403, 404, 409, 429) },
});

/** Who may speak for the shop. `verifier` is told of a revoked key so that it trusts it no longer. */
export function keyRoutes({ db }: AppDeps, verifier: KeyVerifier) {
  return newRouter(newKey)
    .openapi(list, async (c) => {
      const keys = await inShop(db, c.get('shop').shopId, listKeys);
      return c.json({ keys: keys.map(entryOf) }, 200);
    })
    .openapi(create, async (c) => {
      const wanted = c.req.valid('json');
      const { keyId, text } = await inShop(db, c.get('shop').shopId, (tx) => createKey(tx, wanted));
      c.get('log').info({ madeKeyId: keyId, role: wanted.role }, 'key made');
      return c.json({ keyId, ...wanted, key: text }, 201);
    })
    .openapi(revoke, async (c) => {
      const { keyId } = c.req.valid('param');
      const outcome = await inShop(db, c.get('shop').shopId, (tx) => revokeUnlessLast(tx, keyId));
      if (outcome === 'unknown') return refusal(statusOf.notFound, `This shop has no key ${keyId} in force`);
      if (outcome === 'last') return refusal(statusOf.conflict, 'This is the last owner key: make another first');
      verifier.forget(keyId);
      c.get('log').info({ revokedKeyId: keyId }, 'key revoked');
      return c.body(null, 204);
    });
}

/** A shop without an owner key could never be administered over HTTP again. */
async function revokeUnlessLast(tx: ShopTransaction, keyId: string): Promise<'revoked' | 'unknown' | 'last'> {
  const owners = await lockOwnerKeys(tx);
  if (owners.length === 1 && owners[0] === keyId) return 'last';
  return (await revokeKey(tx, keyId)) ? 'revoked' : 'unknown';
}

function entryOf({ createdAt, revokedAt, ...key }: StoredKey) {
  return { ...key, createdAt: createdAt.toISOString(), revokedAt: revokedAt?.toISOString() ?? null };
}
