import type { Context, ErrorHandler, NotFoundHandler } from 'hono';
import { HTTPException } from 'hono/http-exception';
import { mayDo } from '../domain/vocabulary.ts';
import type { AppEnv } from './env.ts';
import type { PageContext, PageEnv } from './pages-env.ts';
import { refusePage, wantsPage } from './pages-show.tsx';
import { onError, onNotFound } from './problem.ts';
import { isRefusal, type RefusalStatus, statusOf } from './status.ts';

/** What went wrong on a page, told to a person; to anything else as everywhere. */
export const onPageError: ErrorHandler<PageEnv> = (error, c) => {
  const answer = onError(error, asApp(c)); // logs what is ours
  if (!wantsPage(c)) return answer;
  const status = error instanceof HTTPException ? (error.res?.status ?? error.status) : statusOf.internal;
  if (!isRefusal(status)) return answer;
  const requestId = status === statusOf.internal ? c.get('requestId') : undefined;
  return refusePage(c, { status, ...said(status), requestId });
};

/** An address where nothing is, told to a person as a page. */
export const onNothingThere: NotFoundHandler<AppEnv> = (c) => (wantsPage(c) ? noSuchPage(asPage(c)) : onNotFound(c));

export function noSuchPage(c: PageContext): Promise<Response> {
  return refusePage(c, { status: statusOf.notFound, ...said(statusOf.notFound) });
}

/** The same whether another shop has such a number or nobody has. */
export function noSuchJob(c: PageContext, ref: string): Promise<Response> {
  const text = `No job with the number “${ref}” is recorded here.`;
  const search = { href: '/records', label: 'Search all jobs' };
  const recent = { href: '/jobs/recent', label: 'To the recent jobs' };
  const said = mayDo(c.get('session').role, 'desk')
    ? { text: `${text} Part of the number is enough to find one.`, way: search }
    : { text, way: recent };
  return refusePage(c, { status: statusOf.notFound, title: `No job ${ref}`, ...said });
}

function said(status: RefusalStatus): { title: string; text: string } {
  return words[status] ?? { title: 'That did not work', text: 'What was sent could not be taken. Nothing was stored.' };
}

const words: Readonly<Partial<Record<RefusalStatus, { title: string; text: string }>>> = {
  400: { title: 'Not taken', text: 'What was sent is no form that can be read. Nothing was stored.' },
  403: {
    title: 'Not taken',
    text: 'The form came from elsewhere than this program’s own pages. Open the page here and send it again.',
  },
  404: { title: 'Nothing here', text: 'There is no page at this address, or what it showed is gone.' },
  413: { title: 'Too large', text: 'What was sent is larger than this page takes. Nothing was stored.' },
  500: { title: 'Our fault', text: 'The page could not be made. Nothing that you did is at fault.' },
};

/** The border between the two environments: a page's context is the program's own with more on it. */
function asApp(c: PageContext): Context<AppEnv> {
  return c as unknown as Context<AppEnv>;
}
function asPage(c: Context<AppEnv>): PageContext {
  return c as unknown as PageContext;
}
