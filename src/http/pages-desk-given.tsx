import { type GivenEstimate, readAsked, readGiven } from '../insight/given-estimate.ts';
import { whatItTook } from '../insight/what-it-took.ts';
import { ForCustomer } from '../pages/desk-customer.tsx';
import { Given } from '../pages/desk-given.tsx';
import { GivenList, type ListedGiven } from '../pages/desk-list.tsx';
import { type Formats, formatsFor } from '../pages/format.ts';
import { type ListedEstimate, listEstimates, readGivenEstimate, readRecordsOf } from '../store/estimates.ts';
import type { AppDeps } from './env.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { show } from './pages-show.tsx';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';

/** Estimates that were given: the list, each as it was given with what it took, and the page for the customer. */
export function givenPages(deps: AppDeps) {
  const guard = sessionGuard(deps)('desk');
  return newPages()
    .get('/estimates', guard, (c) => listPage(c, deps))
    .get('/estimate/:id', guard, (c) => givenPage(c, deps))
    .get('/estimate/:id/customer', guard, (c) => customerPage(c, deps));
}

const onePage = 50;

async function listPage(c: PageContext, { db, now }: AppDeps): Promise<Response> {
  const page = { before: c.req.query('before'), limit: onePage + 1 };
  const found = await inOwnShop(c, db, (tx) => listEstimates(tx, page));
  const rows = found.slice(0, onePage);
  const older = found.length > onePage ? `/estimates?before=${rows.at(-1)?.estimateId}` : undefined;
  return show(
    c,
    { title: 'Given estimates' },
    <GivenList list={rows.map((row) => listed(c, row, now()))} older={older} />,
  );
}

function listed(c: PageContext, { answer, request, record }: ListedEstimate, now: Date): ListedGiven {
  const estimate = readGiven(answer);
  const took = record ? whatItTook(record, estimate) : undefined;
  return { estimate, plan: readAsked(request), took, formats: formatsOf(c, estimate, now) };
}

/** The money in which it was given stays that of the estimate, whatever the shop has set since. */
function formatsOf(c: PageContext, { quote: { currency } }: GivenEstimate, now: Date): Formats {
  const { timeZone, settings } = c.get('session').shop;
  const acceptLanguage = c.req.header('accept-language');
  return formatsFor({ acceptLanguage, now, timeZone, settings: { ...settings, currency } });
}

async function givenPage(c: PageContext, { db, now }: AppDeps): Promise<Response> {
  const { timeZone } = c.get('session').shop;
  const found = await inOwnShop(c, db, async (tx) => {
    const stored = await readGivenEstimate(tx, c.req.param('id') ?? '');
    return stored && { stored, records: await readRecordsOf(tx, stored.estimateId) };
  });
  if (!found) return noSuchPage(c);
  const estimate = readGiven(found.stored.answer);
  const given = { estimate, plan: readAsked(found.stored.request), formats: formatsOf(c, estimate, now()), timeZone };
  const took = found.records.map((record) => whatItTook(record, estimate));
  return show(c, { title: `Estimate, ${given.formats.money(estimate.quote.price)}` }, <Given {...given} took={took} />);
}

async function customerPage(c: PageContext, { db, now }: AppDeps): Promise<Response> {
  const { name } = c.get('session').shop;
  const stored = await inOwnShop(c, db, (tx) => readGivenEstimate(tx, c.req.param('id') ?? ''));
  if (!stored) return noSuchPage(c);
  const estimate = readGiven(stored.answer);
  const said = { estimate, plan: readAsked(stored.request), formats: formatsOf(c, estimate, now()) };
  return show(c, { title: 'Estimate', scripts: ['print.js'] }, <ForCustomer {...said} shopName={name} />);
}
