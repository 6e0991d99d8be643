/**
 * Secrets that name their shop, so that even the first query on behalf of a stranger is made inside one shop:
 * `<prefix>_<shop>_<id>_<secret>`. The secret is 256 random bits, so its SHA-256 can be stored as it is.
 */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';

export interface Token {
  readonly shopId: string;
  readonly id: string;
  readonly secretHash: Buffer;
}

/** A new token; `text` is the only time that the whole of it is seen. */
export function makeToken(prefix: string, shopId: string, idBytes: 6 | 8 = 8): Token & { readonly text: string } {
  const id = randomBytes(idBytes).toString('hex');
  const secret = randomBytes(32).toString('base64url');
  const text = `${prefix}_${shopId.replaceAll('-', '')}_${id}_${secret}`;
  return { shopId, id, secretHash: sha256(secret), text };
}

/** The parts of a token as it came from outside, undefined where it has not the form of one. */
export function readToken(prefix: string, text: string): Token | undefined {
  const parts = /^([a-z]+)_([0-9a-f]{32})_([0-9a-f]{12}|[0-9a-f]{16})_([A-Za-z0-9_-]{43})$/.exec(text);
  const [, found, shopHex, id, secret] = parts ?? [];
  if (found !== prefix || !shopHex || !id || !secret) return undefined;
  return { shopId: uuidOf(shopHex), id, secretHash: sha256(secret) };
}

/** Takes as long for a wrong secret, and for none, as for the right one. */
export function sameSecret(token: Token, stored: Buffer | undefined): boolean {
  return timingSafeEqual(token.secretHash, stored ?? Buffer.alloc(32));
}

function uuidOf(hex: string): string {
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}

const sha256 = (secret: string): Buffer => createHash('sha256').update(secret).digest();
