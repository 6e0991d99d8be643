import type { Context } from 'hono';
import { getCookie, setCookie } from 'hono/cookie';
import { z } from 'zod';
import type { Machine } from '../domain/lists.ts';
import type { FormState } from '../pages/form-input.ts';
import type { JobDraft } from '../pages/job-entries.ts';
import type { PageContext } from './pages-env.ts';
import { isHttps } from './sessions.ts';

const cookieName = 'secondpass_bay';
const yearSeconds = 365 * 24 * 3600;
const kept = z.object({ technician: z.string().optional(), extractor: z.string().optional() });

/** Who worked last on this phone and with what: the next job begins with them. No secret, no more than two short names. */
export function remember(c: Context, form: FormState): void {
  const value = { technician: form.typed('labour.0.technician'), extractor: form.typed('extractor') };
  const options = { path: '/jobs', httpOnly: true, sameSite: 'Lax', secure: isHttps(c), maxAge: yearSeconds } as const;
  setCookie(c, cookieName, JSON.stringify(value), options);
}

/**
 * The draft with who and with what, where it does not say so itself, on a new phone whoever is signed in. A former job
 * that was done without an extractor does say so, one whose extractor is no longer there does not. Where nothing says
 * with what, it is the only extractor that there is: “none used” beside extracted seats would be a doubtful job.
 */
export function remembered(c: PageContext, draft: JobDraft, machines: readonly Machine[]): JobDraft {
  const read = kept.safeParse(jsonOf(getCookie(c, cookieName)));
  const { technician = c.get('session').technician ?? undefined, extractor } = read.success ? read.data : {};
  const labour = draft.labour ?? (technician ? [{ technician }] : []);
  const there = (wanted: string | null | undefined) => machines.find(({ key }) => key === wanted)?.key;
  const only = extractor === undefined && machines.length === 1 ? machines[0]?.key : undefined;
  const used = draft.extractor === null ? null : (there(draft.extractor) ?? there(extractor) ?? only ?? null);
  return { ...draft, extractor: used, labour };
}

function jsonOf(text: string | undefined): unknown {
  try {
    return JSON.parse(text ?? 'null');
  } catch {
    return null; // a cookie is whatever the browser sends
  }
}
