import type { Context } from 'hono';
import type { JSX } from 'hono/jsx/jsx-runtime';
import type { ContentfulStatusCode } from 'hono/utils/http-status';
import type { FormState } from '../pages/form-input.ts';
import { type Frame, Layout, type PageHead } from '../pages/layout.tsx';
import { withoutBreaksInFigures } from '../pages/no-break.ts';
import { Refusal, type RefusalProps } from '../pages/refusal.tsx';
import type { PageEnv } from './pages-env.ts';
import { type RefusalStatus, statusOf } from './status.ts';

interface Page extends PageHead {
  /** 200 where absent. */
  readonly status?: ContentfulStatusCode;
}

/** Answers with a page in the frame of whoever is signed in. */
export async function show(c: Context<PageEnv>, page: Page, body: JSX.Element): Promise<Response> {
  const document = (
    <Layout head={page} frame={frameOf(c)}>
      {body}
    </Layout>
  );
  return sendHtml(c, `<!doctype html>${await document}`, page.status ?? 200);
}

/** Of a page with a form: 422 where it comes back with its faults, 412 where others changed meanwhile what it is about. */
export function statusFor({ faults }: FormState, changes: readonly unknown[] = []): 200 | 412 | 422 {
  if (changes.length > 0) return statusOf.preconditionFailed;
  return faults.length > 0 ? statusOf.invalid : 200;
}

/** Answers with a part of a page, for a script that puts it in place. */
export async function showPart(
  c: Context<PageEnv>,
  part: JSX.Element,
  status: ContentfulStatusCode,
): Promise<Response> {
  return sendHtml(c, `${await part}`, status);
}

function sendHtml(c: Context<PageEnv>, html: string, status: ContentfulStatusCode): Promise<Response> | Response {
  return c.html(withoutBreaksInFigures(html), status, pageHeaders);
}

/** Answers with a page that says why not, and the way on. */
export function refusePage(
  c: Context<PageEnv>,
  page: RefusalProps & { readonly status: RefusalStatus; readonly title: string },
): Promise<Response> {
  const { status, title, ...said } = page;
  return show(c, { title, status }, <Refusal {...said} />);
}

/** Whether a person is at the other end, who is to be answered in words rather than data. */
export function wantsPage(c: Context): boolean {
  return c.req.header('accept')?.includes('text/html') ?? false;
}

/**
 * Nothing inline, nothing from elsewhere, nothing kept. The referrer stays within the site: without any, browsers send
 * no origin with a form, and a form could not be told from a forged one.
 */
export const pageHeaders: Readonly<Record<string, string>> = {
  'Content-Security-Policy': [
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self'",
    "connect-src 'self'",
    "manifest-src 'self'",
    "worker-src 'self'",
    "form-action 'self'",
    "base-uri 'none'",
    "frame-ancestors 'none'",
  ].join('; '),
  'Referrer-Policy': 'same-origin',
  'Cache-Control': 'no-store',
};

function frameOf(c: Context<PageEnv>): Frame {
  // Pages for strangers have no session, though the type of a guarded page's context cannot say so.
  const session = c.get('session') as PageEnv['Variables']['session'] | undefined;
  return session ? { path: c.req.path, shop: session.shop, person: session } : { path: c.req.path };
}
