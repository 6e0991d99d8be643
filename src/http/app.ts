import type { OpenAPIHono } from '@hono/zod-openapi';
import { except } from 'hono/combine';
import { methodNotAllowed } from 'hono/method-not-allowed';
import { requestId } from 'hono/request-id';
import { secureHeaders } from 'hono/secure-headers';
import { verifyKey } from '../store/keys.ts';
import { bearerAuth } from './auth.ts';
import { docsRoutes } from './docs.ts';
import { doubtfulRoutes } from './doubtful.ts';
import { type AppDeps, type AppEnv, newRouter } from './env.ts';
import { createEstimateMaker } from './estimate-maker.ts';
import { estimateRoutes } from './estimates.ts';
import { createFitCache } from './fit-cache.ts';
import { createFitRuns } from './fit-runs.ts';
import { fitRoutes } from './fits.ts';
import { fitsByHandRoutes } from './fits-by-hand.ts';
import { createKeyVerifier } from './key-verifier.ts';
import { keyRoutes } from './keys.ts';
import { limitedBody } from './limited-body.ts';
import { machineRoutes } from './machines.ts';
import { describeInterface } from './openapi.ts';
import { pageRoutes } from './pages.tsx';
import { onNothingThere } from './pages-errors.tsx';
import { onError, onMethodNotAllowed, refusal } from './problem.ts';
import { recordRoutes } from './records.ts';
import { createReportSource } from './report-basis.ts';
import { createReportReaders } from './report-readers.ts';
import { reportRoutes } from './reports.ts';
import { requestLog } from './request-log.ts';
import { settingsRoutes } from './settings.ts';
import type { Shared } from './shared.ts';
import { statusOf } from './status.ts';
import { systemRoutes } from './system.ts';
import { technicianRoutes } from './technicians.ts';

/** Enough for the largest planned job, list or setting; records have limits of their own. */
const largestBody = 256 * 1024;

/** The whole HTTP interface over its dependencies; it opens nothing and listens nowhere. */
export function buildApp(deps: AppDeps): OpenAPIHono<AppEnv> {
  const verifier = createKeyVerifier(
    (text) => verifyKey(deps.db, text),
    () => performance.now(),
  );
  const basisOf = createFitCache();
  const estimates = createEstimateMaker(deps, basisOf);
  const reports = createReportReaders(deps, createReportSource(basisOf));
  const shared: Shared = { verifier, estimates, reports, runs: createFitRuns(deps) };
  const app = newRouter();
  app.onError(onError);
  app.notFound(onNothingThere);
  app.use(requestId(), requestLog(deps.log, deps.metrics), plainHeaders);
  app.use(methodNotAllowed({ app, onMethodNotAllowed }));
  app.use('/v1/*', bearerAuth(verifier), except(['/v1/records', '/v1/records/*'], smallBody));
  app.route('/', systemRoutes(deps));
  app.route('/', docsRoutes());
  for (const router of resources(deps, shared)) app.route('/v1', router);
  describeInterface(app);
  app.route('/', pageRoutes(deps, shared));
  return app;
}

/** One router a resource; a new one is added here and nowhere else. */
function resources(deps: AppDeps, { verifier, estimates, reports, runs }: Shared) {
  return [
    recordRoutes(deps),
    technicianRoutes(deps),
    machineRoutes(deps),
    estimateRoutes(deps, estimates),
    fitRoutes(deps, runs),
    fitsByHandRoutes(deps),
    reportRoutes(reports),
    doubtfulRoutes(deps),
    settingsRoutes(deps),
    keyRoutes(deps, verifier),
  ];
}

/** Answers are data: nothing in them is to be run, framed or sniffed. A route that serves a page sets its own policy. */
const plainHeaders = secureHeaders({
  contentSecurityPolicy: { defaultSrc: ["'none'"], frameAncestors: ["'none'"] },
  strictTransportSecurity: false,
  overwrite: false,
});

const smallBody = limitedBody(largestBody, () =>
  refusal(statusOf.tooLarge, `The body is larger than ${largestBody} bytes`),
);
