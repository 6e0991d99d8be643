import { createRoute } from '@hono/zod-openapi';
import { type Fault, faultSaying } from '../domain/faults.ts';
import { type ShopSettings, shopSettings } from '../domain/shop-settings.ts';
import { overrideFaults } from '../models/rule-table.ts';
import { inShop } from '../store/shop-scope.ts';
import { readShopSettings, replaceShopSettings } from '../store/shops.ts';
import { requireRole } from './auth.ts';
import { type AppDeps, newRouter } from './env.ts';
import { changedIfSame, changedSince, etagOfWhole, ifMatchOfWhole, tagged } from './if-match.ts';
import { faultsProblem, problemResponses } from './problem.ts';
import { statusOf } from './status.ts';

const example: ShopSettings = {
  labourRate: 42,
  materials: 12,
  currency: 'EUR',
  overrunRisk: 0.2,
  units: 'si',
  rules: { 'passes.high': { mean: -0.2 } },
};

const settingsBody = { 'application/json': { schema: shopSettings, example } };
const answer = { description: 'All settings, the defaults filled in', content: settingsBody, headers: etagOfWhole };

const read = createRoute({
  tags: ['shop'],
  method: 'get',
  path: '/settings',
  summary: 'The settings of the shop',
  middleware: requireRole('desk'),
  responses: { 200: answer, ...problemResponses(401, 403, 429) },
});

const replace = createRoute({
  tags: ['shop'],
  method: 'put',
  path: '/settings',
  summary: 'Replace the settings: what is left out goes back to its default',
  description:
    '`rules` adjusts a rule of thumb by its id; the next fit takes it up. The rest holds from the next estimate on.',
  middleware: requireRole('owner'),
  request: { body: { required: true, content: settingsBody } },
  parameters: [ifMatchOfWhole],
  responses: { 200: answer, ...problemResponses(400, 401, 403, 412, 413, 415, 422, 429) },
});

export function settingsRoutes({ db }: AppDeps) {
  return newRouter(shopSettings)
    .openapi(read, async (c) => c.json(tagged(c, await inShop(db, c.get('shop').shopId, readShopSettings)), 200))
    .openapi(replace, async (c) => {
      const settings = c.req.valid('json');
      const faults = ruleFaults(settings);
      if (faults.length > 0) return faultsProblem(statusOf.invalid, faults);
      const stored = await inShop(db, c.get('shop').shopId, (tx) =>
        changedIfSame(c, tx, readShopSettings, () => replaceShopSettings(tx, settings)),
      );
      return stored ? c.json(stored, 200) : changedSince();
    });
}

/** Each adjustment is judged alone, so that its fault can point at it. */
function ruleFaults({ rules }: ShopSettings): Fault[] {
  return Object.entries(rules).flatMap(([id, own]) =>
    overrideFaults({ [id]: own }).map((message) => faultSaying(['rules', id], message)),
  );
}
