import type { Context } from 'hono';
import { getCookie, setCookie } from 'hono/cookie';
import { z } from 'zod';
import type { Machine } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import type { FormState } from '../pages/form-input.ts';
import type { FormEntry, JobDraft } from '../pages/job-entries.ts';
import type { PageContext } from './pages-env.ts';
import { isHttps } from './sessions.ts';

const cookieName = 'secondpass_bay';
const yearSeconds = 365 * 24 * 3600;
const kept = z.object({ technician: z.string().optional(), extractor: z.string().optional() });

/**
 * Who worked last on this phone and with what: the next job begins with them. No secret, no more than two short names.
 * Spot work, which has no extractor, says nothing of the next extraction.
 */
export function remember(c: Context, form: FormState, entries: readonly FormEntry[]): void {
  const extracted = entries.some(([name, text]) => /^sections\.\d+\.method$/.test(name) && text !== 'spot');
  const extractor = form.typed('extractor') || (extracted ? '' : readKept(c).extractor);
  const value = { technician: form.typed('labour.0.technician'), extractor };
  const options = { path: '/jobs', httpOnly: true, sameSite: 'Lax', secure: isHttps(c), maxAge: yearSeconds } as const;
  setCookie(c, cookieName, JSON.stringify(value), options);
}

/** What of the shop a new job begins with: the extractors in use, and the latest jobs, the newest first. */
interface Around {
  readonly machines: readonly Machine[];
  readonly latest: readonly FinishedJob[];
}

/**
 * The draft with who and with what, where it does not say so itself, on a new phone whoever is signed in. A former job
 * that was done without an extractor does say so, one whose extractor is no longer there does not. Where nothing says
 * with what, it is what the latest jobs were done with: “none used” beside extracted seats would be a doubtful job.
 */
export function remembered(c: PageContext, draft: JobDraft, { machines, latest }: Around): JobDraft {
  const { technician = c.get('session').technician ?? undefined, extractor } = readKept(c);
  const labour = draft.labour ?? (technician ? [{ technician }] : []);
  const there = (wanted: string | null | undefined) => machines.find(({ key }) => key === wanted)?.key;
  const none = draft.extractor === null || (extractor === '' && !there(draft.extractor));
  const used = none ? null : (there(draft.extractor) ?? there(extractor) ?? mostUsed({ machines, latest }) ?? null);
  return { ...draft, extractor: used, labour };
}

/** What most of the latest jobs were done with, or the only extractor that there is. */
function mostUsed({ machines, latest }: Around): string | undefined {
  const times = ({ key }: Machine) => latest.filter(({ extractor }) => extractor === key).length;
  const [most] = machines.toSorted((a, b) => times(b) - times(a));
  return most && (times(most) > 0 || machines.length === 1) ? most.key : undefined;
}

function readKept(c: Context): z.output<typeof kept> {
  const read = kept.safeParse(jsonOf(getCookie(c, cookieName)));
  return read.success ? read.data : {};
}

function jsonOf(text: string | undefined): unknown {
  try {
    return JSON.parse(text ?? 'null');
  } catch {
    return null; // a cookie is whatever the browser sends
  }
}
