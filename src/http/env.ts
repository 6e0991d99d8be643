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

/**
 * How a run ended: with a fit stored (published, refused, failed), with nothing to do since the data are those of the
 * published fit (unchanged), or not begun because another process has a run of this shop going (busy).
 */
export interface FitOutcome {
  readonly fitId: string;
  readonly status: 'published' | 'refused' | 'failed' | 'unchanged' | 'busy';
}

/** What the interface needs of the rest of the program; `now` is the only clock. */
export interface AppDeps {
  readonly db: Database;
  readonly now: () => Date;
  readonly log: Logger;
  readonly metrics: Metrics;
  /** Runs the nightly task of one shop; what it stores it stores under `fitId`. */
  readonly runFit: (shopId: string, fitId: string) => Promise<FitOutcome>;
  /** How long `POST /fits` waits for its run before it answers with the address alone; 10 s where absent. */
  readonly fitPatienceMs?: number;
}

/** A router of one resource: bad input answers as every other bad input does. */
export function newRouter(body?: z.ZodType, parameters?: z.ZodType): OpenAPIHono<AppEnv> {
  return new OpenAPIHono<AppEnv>({ defaultHook: validationHook(body, parameters) });
}
