import { doubtsOf } from '../domain/doubts.ts';
import { mayDo } from '../domain/vocabulary.ts';
import type { Telling } from '../pages/records-facts.ts';
import { FormerView, TakenOut } from '../pages/records-former.tsx';
import { JobView } from '../pages/records-job.tsx';
import { jobHref } from '../pages/records-links.ts';
import { readLists } from '../store/lists.ts';
import { readRecord, readVersion, readVersions } from '../store/records.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import { dryingForecasts } from './drying-forecasts.ts';
import type { AppDeps } from './env.ts';
import type { EstimateMaker } from './estimate-maker.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchJob, noSuchPage } from './pages-errors.tsx';
import { show } from './pages-show.tsx';
import { refParam, versionParam } from './records-schemas.ts';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';
import type { Shared } from './shared.ts';

/** One job in full, and as it once stood. Which roles may see what is as in the interface for programs. */
export function recordPages(deps: AppDeps, { estimates }: Shared) {
  const guard = sessionGuard(deps);
  return newPages()
    .get('/records/job', guard('technician'), (c) => jobPage(c, deps, estimates))
    .get('/records/job/version', guard('desk'), (c) => versionPage(c, deps));
}

/** What somebody typed behind `/records/` is taken for a job's number. Routed after all pages that lie there. */
export function recordByAddress(deps: AppDeps) {
  return newPages().get('/records/:ref', sessionGuard(deps)('technician'), async (c) => {
    const asked = refParam.safeParse(c.req.param());
    return asked.success ? c.redirect(jobHref(asked.data.ref), 303) : noSuchPage(c);
  });
}

async function jobPage(c: PageContext, { db, now }: AppDeps, estimates: EstimateMaker): Promise<Response> {
  const { role, shop } = c.get('session');
  const ref = refOf(c);
  if (ref === undefined) return noSuchPage(c);
  const { stored, former, telling } = await inOwnShop(c, db, async (tx) => ({
    stored: await readRecord(tx, ref),
    former: mayDo(role, 'desk') ? await readVersions(tx, ref) : undefined,
    telling: await tellingFor(c, tx),
  }));
  const title = `Job ${ref}`;
  const versions = former && { ref, former, present: stored?.record, telling };
  if (!stored) return versions?.former.length ? show(c, { title }, <TakenOut {...versions} />) : noSuchJob(c, ref);
  const job = stored.record;
  const done = c.req.query('done');
  const forecast = (await dryingForecasts(estimates, shop.shopId, [job], now())).get(ref);
  const said = { role, telling, versions, forecast, done: done === undefined ? undefined : doneWords[done] };
  return show(c, { title, wide: true }, <JobView job={job} doubts={doubtsOf(job)} {...said} />);
}

const doneWords: Readonly<Record<string, string>> = {
  mended: 'Stored. What it was before is kept below.',
  unchanged: 'Nothing was changed: it stands as it was.',
};

async function versionPage(c: PageContext, { db }: AppDeps): Promise<Response> {
  const asked = versionParam.safeParse(c.req.query());
  if (!asked.success) return noSuchPage(c);
  const { ref, version } = asked.data;
  const { job, present, telling } = await inOwnShop(c, db, async (tx) => ({
    job: await readVersion(tx, ref, version),
    present: (await readRecord(tx, ref))?.record,
    telling: await tellingFor(c, tx),
  }));
  if (!job) return noSuchJob(c, ref);
  const page = { title: `Job ${ref}, version ${version}`, wide: true };
  return show(c, page, <FormerView {...{ job, present, telling }} />);
}

/** The job that the address names; undefined for what can be none. */
export function refOf(c: PageContext): string | undefined {
  const asked = refParam.safeParse(c.req.query());
  return asked.success ? asked.data.ref : undefined;
}

export async function tellingFor(c: PageContext, tx: ShopTransaction): Promise<Telling> {
  return { lists: await readLists(tx), formats: c.get('formats') };
}
