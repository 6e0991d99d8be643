/** Which shop a browser signs in to: every question to the database is asked inside one shop, and so needs it first. */
import type { Context } from 'hono';
import { getCookie, setCookie } from 'hono/cookie';
import type { Database } from '../store/shop-scope.ts';
import { listShopsForNightly } from '../store/shops.ts';
import { isHttps } from './sessions.ts';

const cookieName = 'secondpass_shop';
const yearSeconds = 365 * 24 * 3600;

/** What people type where a server has several shops: the first eight digits of the shop's id. */
export function shopCode(shopId: string): string {
  return shopId.slice(0, 8);
}

/** The shop where it is plain: the only one, or the one that was signed in to from here last. */
export async function likelyShop(c: Context, db: Database): Promise<string | undefined> {
  const shops = await listShopsForNightly(db);
  const [only, ...others] = shops;
  if (only && others.length === 0) return only.shopId;
  const remembered = getCookie(c, cookieName);
  return shops.find(({ shopId }) => shopId === remembered)?.shopId;
}

/** The shop of a typed code, undefined where none or more than one has it. */
export async function shopByCode(db: Database, code: string): Promise<string | undefined> {
  const wanted = code.trim().toLowerCase();
  const found = (await listShopsForNightly(db)).filter(({ shopId }) => shopCode(shopId) === wanted);
  return found.length === 1 ? found[0]?.shopId : undefined;
}

/** No secret: it only spares the code at the next sign-in. */
export function rememberShop(c: Context, shopId: string): void {
  const options = { path: '/', httpOnly: true, sameSite: 'Lax', secure: isHttps(c), maxAge: yearSeconds } as const;
  setCookie(c, cookieName, shopId, options);
}
