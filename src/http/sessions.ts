/** The cookie that carries a session, and the guard that lets a page be seen by those who may. */
import { type Context, Hono, type MiddlewareHandler } from 'hono';
import { every } from 'hono/combine';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import { csrf } from 'hono/csrf';
import { mayDo, type Role } from '../domain/vocabulary.ts';
import { formatsFor } from '../pages/format.ts';
import { findSession, sessionEnds } from '../store/sessions.ts';
import { type Database, inShop, type ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import { limitedBody } from './limited-body.ts';
import type { PageContext, PageEnv } from './pages-env.ts';
import { refusePage, wantsPage } from './pages-show.tsx';
import { refusal, refuse } from './problem.ts';
import { statusOf } from './status.ts';

const cookieName = 'secondpass_session';
/** Enough for any form; a page that takes a file says so itself. */
const largestForm = 256 * 1024;

interface GuardOptions {
  /** The largest body in bytes. */
  readonly largestBody?: number;
}

/** `guard(role)`: only for those signed in who have the role or one above it. Puts `session` and `formats` on the request. */
export function sessionGuard(deps: Pick<AppDeps, 'db' | 'now'>) {
  const load = loadSession(deps);
  return (role: Role, { largestBody = largestForm }: GuardOptions = {}): MiddlewareHandler<PageEnv> =>
    every(sameSiteOnly, smallerThan(largestBody), load, atLeast(role)) as MiddlewareHandler<PageEnv>;
}

/** For pages that strangers see: forms only from our own pages, and small. */
export const openToAll = (): MiddlewareHandler<PageEnv> =>
  every(sameSiteOnly, smallerThan(largestForm)) as MiddlewareHandler<PageEnv>;

/** In a transaction of the shop that is signed in to. */
export function inOwnShop<T>(c: PageContext, db: Database, work: (tx: ShopTransaction) => Promise<T>): Promise<T> {
  return inShop(db, c.get('session').shop.shopId, work);
}

/** A router of pages. */
export function newPages(): Hono<PageEnv> {
  return new Hono<PageEnv>();
}

export function sessionCookie(c: Context): string | undefined {
  return getCookie(c, cookieName);
}

/** Gone from the browser when the session ends at the latest; never readable by a script. */
export function setSessionCookie(c: Context, text: string): void {
  setCookie(c, cookieName, text, {
    path: '/',
    httpOnly: true,
    sameSite: 'Lax',
    secure: isHttps(c),
    maxAge: sessionEnds.absoluteMs / 1000,
  });
}

export function clearSessionCookie(c: Context): void {
  deleteCookie(c, cookieName, { path: '/', secure: isHttps(c) });
}

/** A proxy's word is enough here: it can only make the cookie stricter. */
export function isHttps(c: Context): boolean {
  return new URL(c.req.url).protocol === 'https:' || c.req.header('x-forwarded-proto')?.split(',')[0] === 'https';
}

/** Behind a proxy that ends TLS our own address has another scheme than the browser's: the host is compared. */
const sameSiteOnly = csrf({
  origin: (origin, c) =>
    URL.canParse(origin) && new URL(origin).host === (c.req.header('host') ?? new URL(c.req.url).host),
});

function smallerThan(bytes: number): MiddlewareHandler {
  return limitedBody(bytes, () => refuse(refusal(statusOf.tooLarge, `What was sent is larger than ${bytes} bytes`)));
}

function loadSession({ db, now }: Pick<AppDeps, 'db' | 'now'>): MiddlewareHandler<PageEnv> {
  return async (c, next) => {
    const text = sessionCookie(c);
    const at = now();
    const session = text === undefined ? undefined : await findSession(db, text, at);
    if (!session) return askToSignIn(c);
    const { timeZone, settings, shopId } = session.shop;
    c.set('session', session);
    c.set('formats', formatsFor({ acceptLanguage: c.req.header('accept-language'), now: at, timeZone, settings }));
    c.set('log', c.get('log').child({ shopId, personId: session.personId }));
    await next();
  };
}

function atLeast(role: Role): MiddlewareHandler<PageEnv> {
  return async (c, next) => {
    const held = c.get('session').role;
    if (mayDo(held, role)) return next();
    if (!wantsPage(c)) return refusal(statusOf.forbidden, `This needs the role ${role}; yours is ${held}`);
    const text = `This page is for ${whose[role]}. You are signed in as ${c.get('session').name}, whose work it is not.`;
    return refusePage(c, { status: statusOf.forbidden, title: 'Not for you', text });
  };
}

const whose: Readonly<Record<Role, string>> = {
  technician: 'those who work in the bay',
  desk: 'the desk and the owner',
  owner: 'the owner',
};

/** A page that was asked for comes after signing in; a form that was sent is not sent again by itself. */
async function askToSignIn(c: PageContext): Promise<Response> {
  if (!wantsPage(c)) return refusal(statusOf.unauthorized, 'Sign in first');
  if (c.req.method === 'GET') return c.redirect(`/sign-in?back=${encodeURIComponent(pathOf(c))}`, 303);
  return refusePage(c, {
    status: statusOf.unauthorized,
    title: 'You are no longer signed in',
    text: 'What you sent was not stored. Sign in in another tab, come back to this one, go one page back and send it again: what you typed is still there.',
    way: { href: '/sign-in', label: 'Sign in' },
  });
}

function pathOf(c: Context): string {
  const { pathname, search } = new URL(c.req.url);
  return pathname + search;
}
