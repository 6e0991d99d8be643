import { KnownKeys } from '../store/lists.ts';
import { etagOf, listVersions, readRecord, readVersion } from '../store/records.ts';
import { inShop } from '../store/shop-scope.ts';
import { UploadCut } from './body-limits.ts';
import { type AppDeps, newRouter } from './env.ts';
import { faultsProblem, refusal } from './problem.ts';
import { noSuchRecord } from './records-answers.ts';
import { addChecks, addComeback, remove, replace } from './records-change.ts';
import { listRecords } from './records-list.ts';
import { takeRecords } from './records-post.ts';
import * as routes from './records-routes.ts';
import { recordComponent, recordParameters } from './records-schemas.ts';

/** Finished jobs: in, out, put right, followed up. */
export function recordRoutes(deps: AppDeps) {
  const { db } = deps;
  const known = new KnownKeys(db);
  const router = newRouter(undefined, recordParameters);
  router.openAPIRegistry.registerComponent('schemas', 'FinishedJob', recordComponent);
  router.onError((error) => {
    if (!(error instanceof UploadCut)) throw error;
    return error.faults.length > 0 ? faultsProblem(error.status, error.faults) : refusal(error.status, error.message);
  });
  router
    .openapi(routes.postRecords, (c) => {
      const query = c.req.valid('query');
      const options = {
        allOrNothing: query['all-or-nothing'],
        dryRun: query['dry-run'],
        createMissing: query['create-missing'],
      };
      return takeRecords(deps, known, c, options);
    })
    .openapi(routes.getRecords, (c) => listRecords(deps, c, c.req.valid('query')))
    .openapi(routes.getRecord, async (c) => {
      const { ref } = c.req.valid('param');
      const stored = await inShop(db, c.get('shop').shopId, (tx) => readRecord(tx, ref));
      if (!stored) return noSuchRecord(ref);
      c.header('ETag', etagOf(stored));
      return c.json(stored.record, 200);
    })
    .openapi(routes.putRecord, (c) => replace(deps, known, c, c.req.valid('param').ref))
    .openapi(routes.deleteRecordRoute, (c) => remove(deps, c, c.req.valid('param').ref))
    .openapi(routes.postChecks, (c) => addChecks(deps, c, c.req.valid('param').ref))
    .openapi(routes.postComebacks, (c) => addComeback(deps, c, c.req.valid('param').ref))
    .openapi(routes.getVersions, async (c) => {
      const { ref } = c.req.valid('param');
      const { present, former } = await inShop(db, c.get('shop').shopId, async (tx) => {
        const [present, former] = await Promise.all([readRecord(tx, ref), listVersions(tx, ref)]);
        return { present, former };
      });
      if (!present && former.length === 0) return noSuchRecord(ref);
      const versions = former.map((one) => ({ ...one, replacedAt: one.replacedAt.toISOString() }));
      return c.json({ ref, current: present?.version ?? null, former: versions }, 200);
    })
    .openapi(routes.getVersion, async (c) => {
      const { ref, version } = c.req.valid('param');
      const record = await inShop(db, c.get('shop').shopId, (tx) => readVersion(tx, ref, version));
      return record ? c.json(record, 200) : noSuchVersion(ref, version);
    });
  return router;
}

function noSuchVersion(ref: string, version: number) {
  return refusal(404, `Record ${JSON.stringify(ref)} has no version ${version}`);
}
