import { createRoute } from '@hono/zod-openapi';
import { listFaults, technicianList } from '../domain/lists.ts';
import { putTechnicians, readTechnicians } from '../store/lists.ts';
import { inShop } from '../store/shop-scope.ts';
import { requireRole } from './auth.ts';
import { type AppDeps, newRouter } from './env.ts';
import { changedIfSame, changedSince, etagOfWhole, ifMatchOfWhole, tagged } from './if-match.ts';
import { faultsProblem, problemResponses } from './problem.ts';
import { statusOf } from './status.ts';

const example = [
  { key: 'mira', name: 'Mira (invented)', from: '2024-05-01' },
  { key: 'odo', name: 'Odo (invented)', from: '2023-09-01', until: '2025-02-28' },
];
const content = { 'application/json': { schema: technicianList, example } };
const answer = { description: 'All technicians of the shop, by key', content, headers: etagOfWhole };

const read = createRoute({
  tags: ['lists'],
  method: 'get',
  path: '/technicians',
  summary: 'The technicians of the shop',
  middleware: requireRole('technician'),
  responses: { 200: answer, ...problemResponses(401, 403, 429) },
});

const put = createRoute({
  tags: ['lists'],
  method: 'put',
  path: '/technicians',
  summary: 'Add or replace technicians by their key',
  description: 'Those left out stay as they are: records name them. One who leaves is given an `until`.',
  middleware: requireRole('owner'),
  request: { body: { required: true, content } },
  parameters: [ifMatchOfWhole],
  responses: { 200: answer, ...problemResponses(400, 401, 403, 412, 413, 415, 422, 429) },
});

export function technicianRoutes({ db }: AppDeps) {
  return newRouter(technicianList)
    .openapi(read, async (c) => c.json(tagged(c, await inShop(db, c.get('shop').shopId, readTechnicians)), 200))
    .openapi(put, async (c) => {
      const list = c.req.valid('json');
      const faults = listFaults(list);
      if (faults.length > 0) return faultsProblem(statusOf.invalid, faults);
      const all = await inShop(db, c.get('shop').shopId, (tx) =>
        changedIfSame(c, tx, readTechnicians, () => putTechnicians(tx, list)),
      );
      return all ? c.json(all, 200) : changedSince();
    });
}
