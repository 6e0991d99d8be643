import { createHash } from 'node:crypto';
import type { Context } from 'hono';
import type { Expected } from '../store/records.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import { holdOwnShop } from '../store/shops.ts';
import type { AppEnv } from './env.ts';
import { refusal } from './problem.ts';
import { statusOf } from './status.ts';

/** The header's description for routes that change a state which was read before (RFC 9110, 13.1.1). */
export const ifMatch = (description: string) => ({
  name: 'If-Match',
  in: 'header' as const,
  description,
  schema: { type: 'string' as const, example: '"1-9f2c4e6a8b0d1f35"' },
});

/** What a request says of the state that it means to change; undefined where it says nothing. */
export function expectedBy(c: Context<AppEnv>): Expected {
  const header = c.req.header('if-match');
  if (header === undefined) return undefined;
  return header.trim() === '*' ? '*' : header.split(',').map((tag) => tag.trim());
}

export const ifMatchOfWhole = ifMatch(
  'the ETag that was read: 412 where others changed it since; absent: whatever is there',
);
export const etagOfWhole = { ETag: { schema: { type: 'string' as const }, description: 'this state of the whole' } };

/** What is read and replaced as a whole, such as the settings: sent with the entity tag of its content. */
export function tagged<T>(c: Context<AppEnv>, whole: T): T {
  c.header('ETag', tagOf(whole));
  return whole;
}

/** Changes such a whole where the request sends none of its tags or the present one. Until then nobody else changes the shop or its lists. */
export async function changedIfSame<T>(
  c: Context<AppEnv>,
  tx: ShopTransaction,
  read: (tx: ShopTransaction) => Promise<T>,
  change: () => Promise<void>,
): Promise<T | undefined> {
  const expected = expectedBy(c);
  if (Array.isArray(expected)) {
    await holdOwnShop(tx);
    if (!expected.includes(tagOf(await read(tx)))) return undefined;
  }
  await change();
  return tagged(c, await read(tx));
}

export function changedSince() {
  return refusal(statusOf.preconditionFailed, 'Somebody changed it since the state that If-Match names: read it again');
}

function tagOf(whole: unknown): string {
  return `"${createHash('sha256').update(JSON.stringify(whole)).digest('hex').slice(0, 16)}"`;
}
