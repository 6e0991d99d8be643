import type { Context } from 'hono';
import { getCookie, setCookie } from 'hono/cookie';
import { z } from 'zod';
import { type Fault, faultSaying } from '../domain/faults.ts';
import type { FinishedJob } from '../domain/record.ts';
import { dryingCheck } from '../domain/record.ts';
import { bodyStyles, comebacks, damages } from '../domain/vocabulary.ts';
import { readAsked, readGiven } from '../insight/given-estimate.ts';
import { RecentJobs } from '../pages/bay-recent.tsx';
import { StartJob } from '../pages/bay-start.tsx';
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
import { JobForm } from '../pages/job-form.tsx';
import { readGivenEstimate } from '../store/estimates.ts';
import { nextNumber } from '../store/job-numbers.ts';
import { readMachines, readTechnicians } from '../store/lists.ts';
import { readRecord, readRecordPage } from '../store/records.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import { addComebackTo, addDryingChecks, type FollowedUp } from './follow-ups.ts';
import { entriesIn, readJob, reshaped } from './job-form-input.ts';
import { storeJob } from './job-store.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { formBy } from './pages-form.ts';
import { show } from './pages-show.tsx';
import { isHttps, newPages, sessionGuard } from './sessions.ts';
import { statusOf } from './status.ts';

/** The bay: record a finished job, and add later what is learnt after the work. */
export function bayPages(deps: AppDeps) {
  const guard = sessionGuard(deps)('technician');
  return newPages()
    .get('/jobs/new', guard, (c) => newJobPage(c, deps))
    .post('/jobs/new', guard, (c) => recordJob(c, deps))
    .get('/jobs/recent', guard, (c) => recentPage(c, deps, { stored: c.req.query('stored') }))
    .post('/jobs/recent', guard, (c) => learnLater(c, deps));
}

const shownRecent = 10;
const shownLike = 4;

async function newJobPage(c: PageContext, deps: AppDeps): Promise<Response> {
  const { shop } = c.get('session');
  return inShop(deps.db, shop.shopId, async (tx) => {
    const draft = await draftOf(c, tx);
    if (draft === 'unknown') return noSuchPage(c);
    if (draft === undefined) {
      const { records } = await readRecordPage(tx, {}, { limit: shownRecent, newestFirst: true });
      const body = <StartJob like={unlike(records)} formats={c.get('formats')} shopId={shop.shopId} />;
      return show(c, { title: 'Record a job', scripts: ['bay.js'] }, body);
    }
    const ref = await nextNumber(tx);
    const job = { ...remembered(c, draft), finishedAt: deps.now().toISOString(), ...(ref !== undefined && { ref }) };
    const entries = entriesOf(job, shop.settings.units, shop.timeZone);
    return jobPage(c, tx, entries, readForm(entries, shop.settings.units).form, { proposedRef: ref, fresh: true });
  });
}

/** What the address says that the job is like; undefined where it says nothing. */
async function draftOf(c: PageContext, tx: ShopTransaction): Promise<JobDraft | 'unknown' | undefined> {
  const { like, body, estimate } = c.req.query();
  if (estimate !== undefined) {
    const given = await readGivenEstimate(tx, estimate);
    return given ? draftOfPlan(readAsked(given.request), readGiven(given.answer)) : 'unknown';
  }
  if (like !== undefined) {
    const stored = await readRecord(tx, like);
    return stored ? draftLike(stored.record) : 'unknown';
  }
  const style = bodyStyles.find((one) => one === body);
  return body === undefined ? undefined : style ? usualDraft(style) : 'unknown';
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
  readonly proposedRef?: string | undefined;
  readonly fresh?: boolean;
  readonly status?: 200 | 422;
}

async function jobPage(
  c: PageContext,
  tx: ShopTransaction,
  entries: readonly FormEntry[],
  form: FormState,
  { proposedRef, fresh = false, status = 200 }: JobPageState,
): Promise<Response> {
  const [technicians, machines] = await Promise.all([readTechnicians(tx), readMachines(tx)]);
  const body = (
    <JobForm
      form={form}
      formats={c.get('formats')}
      technicians={technicians.filter(({ until }) => until === undefined)}
      machines={machines.filter(({ until }) => until === undefined)}
      nSections={lengthOf(entries, 'sections')}
      nPeople={Math.max(1, lengthOf(entries, 'labour'))}
      action="/jobs/new"
      submit="Store this job"
      fresh={fresh}
    >
      <Waiting shopId={tx.shopId} />
      <input type="hidden" name="proposedRef" value={proposedRef ?? form.typed('proposedRef')} />
    </JobForm>
  );
  return show(c, { title: 'Record a job', status, scripts: ['steppers.js', 'bay.js'] }, body);
}

async function recordJob(c: PageContext, deps: AppDeps): Promise<Response> {
  const { shop } = c.get('session');
  const { units } = shop.settings;
  const sent = await entriesIn(c.req);
  const changed = reshaped(sent, units);
  const entries = changed ?? sent;
  const { input, form, faults } = readJob(entries, { units, timeZone: shop.timeZone });
  const { proposedRef, ...job } = input;
  const again = (tx: ShopTransaction, state: FormState, status: 200 | 422) =>
    jobPage(c, tx, entries, state, { status });
  return inShop(deps.db, shop.shopId, async (tx) => {
    if (changed) return again(tx, form, 200);
    const stored = await storeJob(tx, job, typeof proposedRef === 'string' ? proposedRef : undefined, deps.now());
    const wrong: readonly Fault[] = 'faults' in stored ? [...faults, ...stored.faults] : faults;
    if ('faults' in stored) return again(tx, withFaults(form, wrong), statusOf.invalid);
    remember(c, form);
    return c.redirect(`/jobs/recent?stored=${encodeURIComponent(stored.ref)}`, 303);
  });
}

const laterForm = z.strictObject({
  ref: z.string(),
  hours: dryingCheck.shape.hours.optional(),
  dry: z.boolean().optional(),
  comeback: z.enum(comebacks).optional(),
  damage: z.enum(damages).optional(),
});

async function learnLater(c: PageContext, deps: AppDeps): Promise<Response> {
  const { shopId } = c.get('session').shop;
  const read = await formBy(c, laterForm);
  const ref = read.form.typed('ref') ?? '';
  if (!read.ok) return recentPage(c, deps, { refused: { ref, form: read.form } });
  const stored = await inShop(deps.db, shopId, (tx) => readRecord(tx, ref));
  if (!stored) return noSuchPage(c);
  const { hours, dry, comeback, damage } = read.value;
  const refusedBy = (faults: readonly Fault[]) =>
    recentPage(c, deps, { refused: { ref, form: withFaults(read.form, faults) } });
  const isCheck = hours !== undefined || (dry !== undefined && comeback === undefined);
  if (!isCheck && comeback === undefined)
    return refusedBy([faultSaying([], 'Nothing was filled in: hours of a check, or what it came back with')]);
  const since = Math.round((100 * (deps.now().getTime() - Date.parse(stored.record.finishedAt))) / 3_600_000) / 100;
  const results: FollowedUp[] = [];
  if (isCheck)
    results.push(
      await addDryingChecks(deps.db, shopId, ref, [{ hours: hours ?? Math.max(0, since), dry: dry ?? false }]),
    );
  if (comeback !== undefined) results.push(await addComebackTo(deps.db, shopId, ref, { comeback, damage }));
  const faults = results.flatMap((result) => ('faults' in result ? result.faults : []));
  if (faults.length > 0) return refusedBy(faults);
  return c.redirect(`/jobs/recent?stored=${encodeURIComponent(ref)}`, 303);
}

interface RecentState {
  readonly stored?: string | undefined;
  readonly refused?: { readonly ref: string; readonly form: FormState };
}

async function recentPage(c: PageContext, deps: AppDeps, { stored, refused }: RecentState): Promise<Response> {
  const { records } = await inShop(deps.db, c.get('session').shop.shopId, (tx) =>
    readRecordPage(tx, {}, { limit: shownRecent, newestFirst: true }),
  );
  const done = stored === undefined ? undefined : `Job ${stored} is stored.`;
  const body = (
    <RecentJobs
      jobs={records}
      formats={c.get('formats')}
      now={deps.now()}
      shopId={c.get('session').shop.shopId}
      done={done}
      refused={refused}
    />
  );
  return show(c, { title: 'Recent jobs', status: refused ? statusOf.invalid : 200, scripts: ['bay.js'] }, body);
}

const cookieName = 'secondpass_bay';
const yearSeconds = 365 * 24 * 3600;
const kept = z.object({ technician: z.string().optional(), extractor: z.string().optional() });

/** Who worked last on this phone and with what: the next job begins with them. No secret, no more than two short names. */
function remember(c: Context, form: FormState): void {
  const value = { technician: form.typed('labour.0.technician'), extractor: form.typed('extractor') };
  const options = { path: '/jobs', httpOnly: true, sameSite: 'Lax', secure: isHttps(c), maxAge: yearSeconds } as const;
  setCookie(c, cookieName, JSON.stringify(value), options);
}

function remembered(c: PageContext, draft: JobDraft): JobDraft {
  const read = kept.safeParse(jsonOf(getCookie(c, cookieName)));
  const { technician = c.get('session').technician ?? undefined, extractor } = read.success ? read.data : {};
  const labour = draft.labour ?? (technician ? [{ technician }] : []);
  return { ...draft, extractor: draft.extractor || extractor || null, labour };
}

function jsonOf(text: string | undefined): unknown {
  try {
    return JSON.parse(text ?? 'null');
  } catch {
    return null; // a cookie is whatever the browser sends
  }
}
