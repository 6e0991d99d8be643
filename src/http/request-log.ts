import type { MiddlewareHandler } from 'hono';
import { matchedRoutes } from 'hono/route';
import type { Logger } from 'pino';
import type { AppEnv } from './env.ts';
import type { Metrics } from './metrics.ts';

/** One line and one count a request: what was asked, how it ended, how long it took. Never a body, a query or a key. */
export function requestLog(log: Logger, metrics: Metrics): MiddlewareHandler<AppEnv> {
  return async (c, next) => {
    const begun = performance.now();
    c.set('log', log.child({ requestId: c.get('requestId') }));
    await next();
    c.res.headers.set('X-Request-Id', c.get('requestId')); // an answer made without the context has lost it
    const seconds = (performance.now() - begun) / 1000;
    const route = matchedRoutes(c).findLast(isEndpoint)?.path ?? 'none';
    const { method } = c.req;
    metrics.request(method, route, c.res.status, seconds);
    metrics.recordsAccepted(c.get('accepted') ?? 0);
    c.get('log').info({ method, route, status: c.res.status, ms: Math.round(seconds * 1e4) / 10 }, 'answered');
  };
}

/** Middleware is registered for all methods; what answers, for its own. An unknown address so counts as one route. */
function isEndpoint(route: { readonly method: string }): boolean {
  return route.method !== 'ALL';
}
