import { createRoute } from '@hono/zod-openapi';
import { listFaults, machineList } from '../domain/lists.ts';
import { putMachines, readMachines } from '../store/lists.ts';
import { inShop } from '../store/shop-scope.ts';
import { requireRole } from './auth.ts';
import { type AppDeps, newRouter } from './env.ts';
import { changedIfSame, changedSince, etagOfWhole, ifMatchOfWhole, tagged } from './if-match.ts';
import { faultsProblem, problemResponses } from './problem.ts';
import { statusOf } from './status.ts';

const example = [
  {
    key: 'drum-a',
    name: 'Drum A (invented)',
    kind: 'extractor' as const,
    grade: 'standard' as const,
    waterLiftKpa: 25,
    airflowM3h: 170,
    heated: true,
    price: 1900,
    from: '2023-09-01',
  },
];
const content = { 'application/json': { schema: machineList, example } };
const answer = { description: 'All machines of the shop, by key', content, headers: etagOfWhole };

const read = createRoute({
  tags: ['lists'],
  method: 'get',
  path: '/machines',
  summary: 'The machines of the shop',
  middleware: requireRole('technician'),
  responses: { 200: answer, ...problemResponses(401, 403, 429) },
});

const put = createRoute({
  tags: ['lists'],
  method: 'put',
  path: '/machines',
  summary: 'Add or replace machines by their key',
  description: 'Those left out stay as they are: records name them. One that goes is given an `until`.',
  middleware: requireRole('owner'),
  request: { body: { required: true, content } },
  parameters: [ifMatchOfWhole],
  responses: { 200: answer, ...problemResponses(400, 401, 403, 412, 413, 415, 422, 429) },
});

export function machineRoutes({ db }: AppDeps) {
  return newRouter(machineList)
    .openapi(read, async (c) => c.json(tagged(c, await inShop(db, c.get('shop').shopId, readMachines)), 200))
    .openapi(put, async (c) => {
      const list = c.req.valid('json');
      const faults = listFaults(list);
      if (faults.length > 0) return faultsProblem(statusOf.invalid, faults);
      const all = await inShop(db, c.get('shop').shopId, (tx) =>
        changedIfSame(c, tx, readMachines, () => putMachines(tx, list)),
      );
      return all ? c.json(all, 200) : changedSince();
    });
}
