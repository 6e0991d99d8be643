import { z } from 'zod';
import { faultSaying } from '../domain/faults.ts';
import { mayDo } from '../domain/vocabulary.ts';
import { readFitSummary } from '../insight/rules/fit-reading.ts';
import { ruleLines } from '../insight/rules/rule-lines.ts';
import { modelNames } from '../models/shop-fit.ts';
import { type FormState, freshForm, withFaults } from '../pages/form-input.ts';
import { FitPage, RunningPage } from '../pages/trust-fit.tsx';
import { FitsPage, type saidWords } from '../pages/trust-fits.tsx';
import { type FitPlace, type FitRecord, listFits, readFit, readPublishedId } from '../store/fits.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import { decideFit, type FitDecision } from './fit-decision.ts';
import { endOf } from './fit-runs.ts';
import { fitPlace } from './fit-schema.ts';
import { csvFile } from './pages-csv.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { formBy } from './pages-form.ts';
import { show } from './pages-show.tsx';
import { namesByKey } from './pages-trust.tsx';
import { fitsTable, ruleTable } from './pages-trust-tables.ts';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';
import type { Shared } from './shared.ts';
import { statusOf } from './status.ts';

const onePage = 50;
/** Enough for a night each over ten years. */
const wholeHistory = 4000;

/** What was learnt, night after night: read by the desk, decided on by the owner. */
export function fitPages(deps: AppDeps, { runs }: Shared) {
  const guard = sessionGuard(deps);
  const decide = (c: PageContext, what: FitDecision['what']) => decidePage(c, deps, what);
  return newPages()
    .get('/findings/fits', guard('desk'), async (c) => {
      const { fits, inUse, older } = await inOwnShop(c, deps.db, (tx) => history(tx, placeOf(c)));
      const runningId = runs.going(c.get('session').shop.shopId)?.fitId;
      const said = saidOf(c);
      const about = { isOwner: isOwner(c), formats: c.get('formats') };
      return show(
        c,
        { title: 'Fits', wide: true },
        <FitsPage {...{ fits, inUse, older, runningId, said }} {...about} />,
      );
    })
    .get('/findings/fits.csv', guard('desk'), async (c) =>
      csvFile(c, 'fits', fitsTable(await inOwnShop(c, deps.db, (tx) => listFits(tx, wholeHistory)))),
    )
    .post('/findings/fits', guard('owner'), async (c) => {
      const going = runs.start(c.get('session').shop.shopId);
      const outcome = await endOf(going, deps.fitPatienceMs);
      if (outcome?.status === 'busy' || outcome?.status === 'unchanged')
        return c.redirect(`/findings/fits?said=${outcome.status}`, 303);
      return c.redirect(`/findings/fits/${going.fitId}?learning`, 303);
    })
    .get('/findings/fits/:id', guard('desk'), async (c) => {
      const going = runs.find(c.get('session').shop.shopId, c.req.param('id'));
      if (going === undefined) return fitPage(c, deps, freshForm);
      c.header('Refresh', '5');
      return show(c, { title: 'Learning' }, <RunningPage startedAt={going.startedAt} formats={c.get('formats')} />);
    })
    .get('/findings/fits/:id/numbers.csv', guard('desk'), async (c) => {
      const fit = await inOwnShop(c, deps.db, (tx) => fitOf(tx, c));
      const reading = fit && readFitSummary(fit.summary);
      return reading ? csvFile(c, 'fit', ruleTable(ruleLines(reading.rules, reading))) : noSuchPage(c);
    })
    .post('/findings/fits/:id/publish', guard('owner'), (c) => decide(c, 'publish'))
    .post('/findings/fits/:id/withdraw', guard('owner'), (c) => decide(c, 'withdraw'));
}

async function history(tx: ShopTransaction, after: FitPlace | undefined) {
  const found = await listFits(tx, onePage + 1, after);
  const fits = found.slice(0, onePage);
  const last = found.length > onePage ? fits.at(-1) : undefined;
  const id = await readPublishedId(tx);
  const inUse = fits.find(({ fitId }) => fitId === id) ?? (id === undefined ? undefined : await readFit(tx, id));
  const older = last && `/findings/fits?at=${last.startedAt.toISOString()}&before=${last.fitId}`;
  return { fits, inUse, older };
}

const why = z.strictObject({
  why: z
    .string()
    .trim()
    .max(200)
    .regex(/^[^\p{Cc}]*$/u)
    .describe('text of at most 200 characters, no control characters')
    .optional(),
});

async function decidePage(c: PageContext, deps: AppDeps, what: FitDecision['what']): Promise<Response> {
  const read = await formBy(c, why);
  if (!read.ok) return fitPage(c, deps, read.form);
  const fitId = c.req.param('id') ?? '';
  if (!isId(fitId)) return noSuchPage(c);
  const { shop, name, personId } = c.get('session');
  const decided = await decideFit(deps, shop.shopId, { what, fitId, who: `by ${name}`, why: read.value.why });
  if ('fit' in decided) {
    c.get('log').info({ fitId, what, personId }, 'fit decided by hand');
    return c.redirect(`/findings/fits/${fitId}?decided`, 303);
  }
  if (decided.status === statusOf.notFound) return noSuchPage(c);
  return fitPage(c, deps, withFaults(read.form, [faultSaying([], decided.whyNot)]), statusOf.conflict);
}

async function fitPage(
  c: PageContext,
  { db }: AppDeps,
  form: FormState,
  faulty: 409 | 422 = statusOf.invalid,
): Promise<Response> {
  return inOwnShop(c, db, async (tx) => {
    const fit = await fitOf(tx, c);
    if (!fit)
      return c.req.query('learning') === undefined ? noSuchPage(c) : c.redirect('/findings/fits?said=ended', 303);
    const reading = readFitSummary(fit.summary);
    const model = modelNames.find((name) => name === c.req.query('figure')) ?? 'labour';
    const names = await namesByKey(tx);
    const decided = c.req.query('decided') !== undefined;
    const page = {
      title: `Fit of ${c.get('formats').date(fit.finishedAt)}`,
      wide: true,
      status: form.faults.length > 0 ? faulty : 200,
    } as const;
    const about = { isOwner: isOwner(c), formats: c.get('formats') };
    return show(c, page, <FitPage {...{ fit, reading, model, form, names, decided }} {...about} />);
  });
}

async function fitOf(tx: ShopTransaction, c: PageContext): Promise<FitRecord | undefined> {
  const id = c.req.param('id') ?? '';
  return isId(id) ? readFit(tx, id) : undefined;
}

function isId(text: string): boolean {
  return z.uuid().safeParse(text).success;
}

function isOwner(c: PageContext): boolean {
  return mayDo(c.get('session').role, 'owner');
}

function saidOf(c: PageContext): keyof typeof saidWords | undefined {
  const said = c.req.query('said');
  return said === 'unchanged' || said === 'busy' || said === 'ended' ? said : undefined;
}

function placeOf(c: PageContext): FitPlace | undefined {
  const { at, before } = c.req.query();
  return fitPlace.safeParse({ startedAt: at, fitId: before }).data;
}
