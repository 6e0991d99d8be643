import type { Context, MiddlewareHandler } from 'hono';
import { bodyLimit } from 'hono/body-limit';

/**
 * Refuses a body of more bytes than that. Where the length is told the server holds the body to it and nothing is opened: to ask a request
 * for its stream, as hono's own limit does first, costs more than all else between socket and route.
 */
export function limitedBody(maxSize: number, onError: (c: Context) => Response): MiddlewareHandler {
  const counted = bodyLimit({ maxSize, onError });
  return async (c, next) => {
    const length = c.req.header('transfer-encoding') === undefined ? c.req.header('content-length') : undefined;
    if (length === undefined && c.req.method !== 'GET') return counted(c, next);
    return Number(length ?? 0) > maxSize ? onError(c) : next();
  };
}
