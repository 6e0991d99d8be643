import type { HttpBindings } from '@hono/node-server';
import { OpenAPIHono, type z } from '@hono/zod-openapi';
import type { Logger } from 'pino';
import type { KeyHolder } from '../store/keys.ts';
import type { Database } from '../store/shop-scope.ts';
import type { Metrics } from './metrics.ts';
import { validationHook } from './problem.ts';

/** What middleware puts on a request; `accepted` is how many records it took, for the metrics. */
export interface AppEnv {
  Bindings: Partial<HttpBindings>;
  Variables: { shop: KeyHolder; requestId: string; log: Logger; accepted?: number };
}

/** How a fit ended, as `jobs/run-shop.ts` tells it. */
export interface FitOutcome {
  readonly fitId: string;
  readonly status: string;
}

/** What the interface needs of the rest of the program; `now` is the only clock. */
export interface AppDeps {
  readonly db: Database;
  readonly now: () => Date;
  readonly log: Logger;
  readonly metrics: Metrics;
  readonly runFit: (shopId: string) => Promise<FitOutcome>;
}

/** A router of one resource: bad input answers as every other bad input does. */
export function newRouter(bodySchema?: z.ZodType): OpenAPIHono<AppEnv> {
  return new OpenAPIHono<AppEnv>({ defaultHook: validationHook(bodySchema) });
}
