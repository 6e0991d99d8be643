import type { JSX } from 'hono/jsx/jsx-runtime';
import type { FinishedJob } from '../domain/record.ts';
import { bodyStyles, mayDo } from '../domain/vocabulary.ts';
import { zonedMinute } from '../domain/zoned-time.ts';
import { type GivenEstimate, readAsked, readGiven } from '../insight/given-estimate.ts';
import { Forecast } from '../pages/bay-forecast.tsx';
import { type OpenEstimate, StartJob } from '../pages/bay-start.tsx';
import { Waiting } from '../pages/bay-waiting.tsx';
import { type FormState, readForm, withFaults } from '../pages/form-input.ts';
import {
  draftLike,
  draftOfPlan,
  entriesOf,
  type FormEntry,
  type JobDraft,
  lengthOf,
  usualDraft,
} from '../pages/job-entries.ts';
import { jobFaultsInWords } from '../pages/job-fault-words.ts';
import { JobForm } from '../pages/job-form.tsx';
import { type ListedEstimate, listEstimates, readGivenEstimate } from '../store/estimates.ts';
import { nextNumber } from '../store/job-numbers.ts';
import { readTechnicians } from '../store/lists.ts';
import { readRecord, readRecordPage } from '../store/records.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import { entriesIn, readJob, reshaped } from './job-form-input.ts';
import { storeJob } from './job-store.ts';
import { forecastLike } from './pages-bay-forecast.ts';
import { learnLater, recentPage } from './pages-bay-recent.tsx';
import { remember, remembered } from './pages-bay-remembered.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { offeredIn } from './pages-offered.ts';
import { show } from './pages-show.tsx';
import { refParam } from './records-schemas.ts';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';
import type { Shared } from './shared.ts';
import { statusOf } from './status.ts';

/** The bay: record a finished job, and add later what is learnt after the work. */
export function bayPages(deps: AppDeps, shared: Shared) {
  const guard = sessionGuard(deps)('technician');
  return newPages()
    .get('/jobs/new', guard, (c) => newJobPage(c, deps, shared))
    .post('/jobs/new', guard, (c) => recordJob(c, deps))
    .get('/jobs/recent', guard, (c) => recentPage(c, deps, shared))
    .post('/jobs/recent', guard, (c) => learnLater(c, deps, shared));
}

const lookedThrough = 10;
const shownEstimates = 3;
const shownLike = 4;

async function newJobPage(c: PageContext, deps: AppDeps, { estimates }: Shared): Promise<Response> {
  const { shop } = c.get('session');
  const begun = await inOwnShop(c, deps.db, (tx) => beginningOf(c, tx));
  if (begun === 'unknown') return noSuchPage(c);
  if (begun === undefined) return startPage(c, deps);
  const { draft, given, like } = begun;
  const estimate = given ?? (like && (await forecastLike(estimates, shop.shopId, like)));
  return inOwnShop(c, deps.db, async (tx) => {
    const ref = await nextNumber(tx);
    const { machines } = await offeredIn(c, tx, deps.now());
    const { records: latest } = await latestRecords(tx);
    const job = {
      ...remembered(c, draft, { machines, latest }),
      finishedAt: deps.now().toISOString(),
      ...(ref !== undefined && { ref }),
    };
    const entries = entriesOf(job, shop.settings.units, shop.timeZone);
    const of = like ? `Like job ${like.ref}, as soiled as that was` : 'As estimated';
    const ahead = estimate && <Forecast estimate={estimate} formats={c.get('formats')} of={of} />;
    const { form } = readForm(entries, shop.settings.units);
    return jobPage(c, tx, entries, form, { now: deps.now(), proposedRef: ref, fresh: true, ahead });
  });
}

async function startPage(c: PageContext, { db }: AppDeps): Promise<Response> {
  const { shop, role } = c.get('session');
  const { shopId } = shop;
  const { records, given, technicians } = await inShop(db, shopId, async (tx) => ({
    ...(await latestRecords(tx)),
    given: await listEstimates(tx, { limit: lookedThrough }),
    technicians: await readTechnicians(tx),
  }));
  const nobody = technicians.length === 0 ? { mayAdd: mayDo(role, 'owner') } : undefined;
  const props = { estimates: notDone(given), like: unlike(records), formats: c.get('formats'), shopId, nobody };
  return show(c, { title: 'Record a job', scripts: ['bay.js'] }, <StartJob {...props} />);
}

function latestRecords(tx: ShopTransaction) {
  return readRecordPage(tx, {}, { limit: lookedThrough, newestFirst: true });
}

function notDone(given: readonly ListedEstimate[]): OpenEstimate[] {
  return given
    .filter(({ record }) => record === null)
    .slice(0, shownEstimates)
    .map(({ estimateId, madeAt, request }) => ({ id: estimateId, madeAt, plan: readAsked(request) }));
}

interface Beginning {
  readonly draft: JobDraft;
  readonly given?: GivenEstimate;
  readonly like?: FinishedJob;
}

/** What the address says that the job is like; undefined where it says nothing. */
async function beginningOf(c: PageContext, tx: ShopTransaction): Promise<Beginning | 'unknown' | undefined> {
  const { like, body, estimate } = c.req.query();
  if (estimate !== undefined) {
    const stored = await readGivenEstimate(tx, estimate);
    if (!stored) return 'unknown';
    const given = readGiven(stored.answer);
    return { draft: draftOfPlan(readAsked(stored.request), given), given };
  }
  if (like !== undefined) {
    const asked = refParam.safeParse({ ref: like });
    const stored = asked.success ? await readRecord(tx, asked.data.ref) : undefined;
    return stored ? { draft: draftLike(stored.record), like: stored.record } : 'unknown';
  }
  const style = bodyStyles.find((one) => one === body);
  return body === undefined ? undefined : style ? { draft: usualDraft(style) } : 'unknown';
}

/** One of each kind of work, the newest. */
function unlike(records: readonly FinishedJob[]): FinishedJob[] {
  const kinds = new Map<string, FinishedJob>();
  for (const record of records) {
    const { bodyStyle, sections } = record;
    const kind = JSON.stringify([bodyStyle, sections.map(({ area, fabric, method }) => [area, fabric, method])]);
    if (!kinds.has(kind)) kinds.set(kind, record);
  }
  return [...kinds.values()].slice(0, shownLike);
}

interface JobPageState {
  readonly now: Date;
  readonly proposedRef?: string | undefined;
  readonly fresh?: boolean;
  readonly status?: 200 | 422;
  /** What stands ahead of the form. */
  readonly ahead?: JSX.Element | undefined;
}

async function jobPage(
  c: PageContext,
  tx: ShopTransaction,
  entries: readonly FormEntry[],
  form: FormState,
  { now, proposedRef, fresh = false, status = 200, ahead }: JobPageState,
): Promise<Response> {
  const offered = await offeredIn(c, tx, now);
  const clock = zonedMinute(now, c.get('session').shop.timeZone);
  const body = (
    <>
      {ahead}
      <JobForm
        form={form}
        formats={c.get('formats')}
        {...offered}
        nSections={lengthOf(entries, 'sections')}
        nPeople={Math.max(1, lengthOf(entries, 'labour'))}
        action="/jobs/new"
        submit="Store this job"
        fresh={fresh}
      >
        <Waiting shopId={tx.shopId} />
        <input type="hidden" name="proposedRef" value={proposedRef ?? form.typed('proposedRef')} />
        {/* Whether the end of the work goes on with the clock, as bay.js lets it until somebody sets it, and says to when. */}
        <input type="hidden" name="ticking" value={fresh || form.typed('ticking') ? 'yes' : ''} data-now={clock} />
      </JobForm>
    </>
  );
  return show(c, { title: 'Record a job', status, scripts: ['steppers.js', 'bay.js'] }, body);
}

async function recordJob(c: PageContext, deps: AppDeps): Promise<Response> {
  const { shop } = c.get('session');
  const { units } = shop.settings;
  const sent = await entriesIn(c);
  const changed = reshaped(sent, units);
  const entries = changed ?? sent;
  const { input, form, faults } = readJob(entries, { units, timeZone: shop.timeZone });
  // A box that is not ticked is not sent; here it says that there was no such round.
  const { proposedRef: _, ticking: __, ...rest } = input;
  const job = { finalVacuum: false, ...rest };
  const proposedRef = form.typed('proposedRef') || undefined;
  const now = deps.now();
  return inOwnShop(c, deps.db, async (tx) => {
    if (changed) return jobPage(c, tx, entries, form, { now });
    const stored = await storeJob(tx, { job, proposedRef, faults, now });
    if ('faults' in stored) {
      const wrong = withFaults(form, jobFaultsInWords(stored.faults, form, units));
      return jobPage(c, tx, entries, wrong, { now, status: statusOf.invalid });
    }
    remember(c, form, entries);
    return c.redirect(`/jobs/recent?stored=${encodeURIComponent(stored.ref)}`, 303);
  });
}
