import { Doubtful } from '../pages/records-doubtful.tsx';
import { mendHref } from '../pages/records-links.ts';
import { confirmDoubtful, readDoubtful } from './doubtful.ts';
import type { AppDeps } from './env.ts';
import { formOf } from './form-of.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchJob, noSuchPage } from './pages-errors.tsx';
import { refusePage, show } from './pages-show.tsx';
import { refParam } from './records-schemas.ts';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';
import { statusOf } from './status.ts';

/** The jobs that the latest night did not believe or found odd, to be mended or confirmed. */
export function doubtfulPages(deps: AppDeps) {
  const guard = sessionGuard(deps)('desk');
  return newPages()
    .get('/records/doubtful', guard, (c) => listPage(c, deps))
    .post('/records/doubtful/confirm', guard, (c) => confirm(c, deps));
}

async function listPage(c: PageContext, { db }: AppDeps): Promise<Response> {
  const found = await inOwnShop(c, db, readDoubtful);
  const said = { ...found, formats: c.get('formats'), confirmed: c.req.query('confirmed') };
  return show(c, { title: 'Doubtful jobs' }, <Doubtful {...said} />);
}

async function confirm(c: PageContext, { db, now }: AppDeps): Promise<Response> {
  const { personId } = c.get('session');
  const sent = refParam.safeParse(Object.fromEntries(await formOf(c)));
  if (!sent.success) return noSuchPage(c);
  const { ref } = sent.data;
  const contradictions = await inOwnShop(c, db, (tx) => confirmDoubtful(tx, ref, personId, now()));
  if (contradictions === undefined) return noSuchJob(c, ref);
  if (contradictions.length === 0) return c.redirect(`/records/doubtful?confirmed=${encodeURIComponent(ref)}`, 303);
  const text =
    'What it says does not go together. However sure you are, nothing can be learnt from that until it is mended.';
  const way = { href: mendHref(ref), label: 'Mend it' };
  return refusePage(c, { status: statusOf.conflict, title: `Job ${ref} can only be mended`, text, way });
}
