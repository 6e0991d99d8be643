/**
 * The pages for people, beside the interface for programs. How a page is made:
 *
 * - What is seen is a function of its data in `src/pages/<area>-….tsx` (hono/jsx; it imports domain and insight, never
 *   the store). What is asked and stored is a router in `src/http/pages-<area>.tsx`:
 *
 *       export function bayPages(deps: AppDeps) {
 *         const guard = sessionGuard(deps);
 *         return newPages()
 *           .get('/bay', guard('technician'), async (c) => {
 *             const machines = await inOwnShop(c, deps.db, readMachines);
 *             return show(c, { title: 'Record a job' }, <RecordJob form={freshForm} machines={machines} />);
 *           })
 *           .post('/bay', guard('technician'), async (c) => {
 *             const read = await formBy(c, someSchema); // names as in src/pages/form-input.ts: `minutes:number`
 *             if (!read.ok) return show(c, { title: 'Record a job', status: 422 }, <RecordJob form={read.form} … />);
 *             … store …
 *             return c.redirect('/bay/done', 303); // after a POST always a GET
 *           });
 *       }
 *
 * - The router is named once in `pageRoutes` below, its screens once in src/pages/navigation.ts.
 * - `guard(role)` lets in that role and those above it, checks that forms come from our own pages, limits the body
 *   (`guard('desk', { largestBody })`), and puts on the request `session` (who, role, shop with settings) and `formats`
 *   (numbers, money, quantities, times of that shop: src/pages/format.ts). A request with no `Accept: text/html` is
 *   answered by problem+json, so scripts can use the same addresses.
 * - Estimates are made by `shared.estimates`, reports read by `shared.reports`: the same as the interface for programs.
 * - Every route names its own guard: there is no middleware for all, since `/` would reach the program's interface too.
 * - Fields are those of src/pages/fields.tsx, pictures `Figure` of src/pages/figure.tsx, words of caution `Notice`.
 * - A form that changes what is stored holds `FirstShown`, and its answer asks `changedMeanwhile` before it stores, with the
 *   rows held: else of two people who have it open the second puts back what the first stored (pages-setup.tsx).
 * - A link outside a line of text is a target for a wet thumb: it stands in `<p class="alone">`, a heading, or `.ways`.
 * - A figure and its unit are written with a plain space; `show` sees to it that no line breaks there. A table of more
 *   than three columns is a `NumbersTable`, which folds on a phone. Faults are told by labels: src/pages/fault-words.ts.
 * - Styles, scripts and pictures lie in src/pages/assets and are named by `assetHref`; scripts of a page by
 *   `show(c, { title, scripts: ['bay.js'] }, …)`. Nothing inline: the browser is told to refuse it.
 */
import { Start } from '../pages/start.tsx';
import type { AppDeps } from './env.ts';
import { accountPages } from './pages-account.tsx';
import { assetRoutes } from './pages-assets.ts';
import { bayPages } from './pages-bay.tsx';
import { deskPages } from './pages-desk.tsx';
import { givenPages } from './pages-desk-given.tsx';
import { pricePages } from './pages-desk-prices.tsx';
import { onPageError } from './pages-errors.tsx';
import { exportPages } from './pages-export.tsx';
import { findingsPages } from './pages-findings.tsx';
import { importPages } from './pages-import.tsx';
import { keyPages } from './pages-keys.tsx';
import { machinePages, technicianPages } from './pages-lists.tsx';
import { peoplePages } from './pages-people.tsx';
import { recordListPages } from './pages-records.tsx';
import { doubtfulPages } from './pages-records-doubtful.tsx';
import { recordByAddress, recordPages } from './pages-records-job.tsx';
import { mendPages } from './pages-records-mend.tsx';
import { setupPages } from './pages-setup.tsx';
import { show } from './pages-show.tsx';
import { signInPages } from './pages-sign-in.tsx';
import { trustPages } from './pages-trust.tsx';
import { fitPages } from './pages-trust-fits.tsx';
import { rulePages } from './pages-trust-rules.tsx';
import { newPages, sessionGuard } from './sessions.ts';
import type { Shared } from './shared.ts';

/** All pages; mounted at `/` after everything else. `verifier` is told of a revoked key so that it trusts it no longer. */
export function pageRoutes(deps: AppDeps, shared: Shared) {
  const pages = newPages();
  pages.onError(onPageError);
  for (const router of areas(deps, shared)) pages.route('/', router);
  return pages;
}

/** One router an area; a new one is added here and nowhere else. */
function areas(deps: AppDeps, shared: Shared) {
  return [
    assetRoutes(),
    signInPages(deps),
    startPages(deps),
    bayPages(deps, shared),
    deskPages(deps, shared),
    givenPages(deps),
    pricePages(deps, shared),
    recordListPages(deps),
    recordPages(deps, shared),
    doubtfulPages(deps),
    mendPages(deps),
    importPages(deps),
    exportPages(deps),
    accountPages(deps),
    peoplePages(deps),
    keyPages(deps, shared.verifier),
    setupPages(deps),
    technicianPages(deps),
    machinePages(deps),
    findingsPages(deps, shared),
    trustPages(deps, shared),
    fitPages(deps, shared),
    rulePages(deps),
    recordByAddress(deps),
  ];
}

function startPages(deps: AppDeps) {
  const guard = sessionGuard(deps);
  return newPages()
    .get('/', (c) => c.redirect('/start', 303))
    .get('/start', guard('technician'), (c) => {
      const { name, role } = c.get('session');
      return show(c, { title: 'What is to be done?' }, <Start name={name} role={role} />);
    });
}
