import type { Context, MiddlewareHandler } from 'hono';
import { mayDo, type Role } from '../domain/vocabulary.ts';
import type { AppEnv } from './env.ts';
import type { KeyVerifier } from './key-verifier.ts';
import { refusal } from './problem.ts';
import { statusOf } from './status.ts';

/** No key is longer; anything longer is not hashed, let alone looked up. */
const longestKey = 200;
const realm = 'Bearer realm="secondpass"';

/** Lets a request pass that carries a good key, and says whose it is; everything else is answered here. */
export function bearerAuth(verifier: KeyVerifier): MiddlewareHandler<AppEnv> {
  return async (c, next) => {
    const text = bearerText(c);
    if (text === undefined) return unauthorized('Send the shop key as "Authorization: Bearer spk_…"', realm);
    const verified = await verifier.verify(text, clientAddress(c));
    if (verified === undefined)
      return unauthorized('This key is unknown or revoked', `${realm}, error="invalid_token"`);
    if ('waitMs' in verified) return tooMany(verified.waitMs);
    c.set('shop', verified);
    c.set('log', c.get('log').child({ shopId: verified.shopId, keyId: verified.keyId }));
    await next();
  };
}

/** Lets those pass who have this role or one above it. */
export function requireRole(role: Role): MiddlewareHandler<AppEnv> {
  return async (c, next) => {
    const held = c.get('shop').role;
    if (mayDo(held, role)) return next();
    const challenge = `${realm}, error="insufficient_scope", scope="${role}"`;
    return refusal(statusOf.forbidden, `This key has the role ${held}; ${c.req.method} ${c.req.path} needs ${role}`, {
      'WWW-Authenticate': challenge,
    });
  };
}

function bearerText(c: Context<AppEnv>): string | undefined {
  const text = /^Bearer +(\S+) *$/i.exec(c.req.header('authorization') ?? '')?.[1];
  return text === undefined || text.length > longestKey ? undefined : text;
}

/** By whom limits on wrong keys and passwords count; behind a proxy it is the proxy's. */
export function clientAddress({ env }: { readonly env?: AppEnv['Bindings'] }): string {
  return env?.incoming?.socket.remoteAddress ?? 'unknown';
}

function unauthorized(detail: string, challenge: string): Response {
  return refusal(statusOf.unauthorized, detail, { 'WWW-Authenticate': challenge });
}

function tooMany(waitMs: number): Response {
  const seconds = String(Math.ceil(waitMs / 1000));
  return refusal(statusOf.tooManyRequests, `Too many bad keys from this address; wait ${seconds} s`, {
    'Retry-After': seconds,
  });
}
