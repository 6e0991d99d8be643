import type { Fault } from '../domain/faults.ts';
import type { FinishedJob } from '../domain/record.ts';
import { checkRecord } from '../domain/record-rules.ts';
import { type FormState, readForm, withFaults } from '../pages/form-input.ts';
import { entriesOf, type FormEntry } from '../pages/job-entries.ts';
import { jobFaultsInWords } from '../pages/job-fault-words.ts';
import { changesBetween } from '../pages/records-changes.ts';
import { jobHref } from '../pages/records-links.ts';
import { asStoredWhereUntouched, withoutEmptyLines } from '../pages/records-mend.ts';
import { Mend, TakeOut } from '../pages/records-mend-form.tsx';
import { workInWords } from '../pages/records-words.ts';
import { readListKeys } from '../store/lists.ts';
import { deleteRecord, etagOf, readRecord, readVersion, replaceRecord, type StoredRecord } from '../store/records.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import { formOf } from './form-of.ts';
import { entriesIn, readJob, reshaped } from './job-form-input.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchJob, noSuchPage } from './pages-errors.tsx';
import { refOf, tellingFor } from './pages-records-job.tsx';
import { refusePage, show, statusFor } from './pages-show.tsx';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';
import { statusOf } from './status.ts';

/** A job put right, or taken out. Every role may put slips right, only an owner takes out: as for programs. */
export function mendPages(deps: AppDeps) {
  const guard = sessionGuard(deps);
  return newPages()
    .get('/records/job/mend', guard('technician'), (c) => onStored(c, deps, (tx, stored) => freshPage(c, tx, stored)))
    .post('/records/job/mend', guard('technician'), async (c) => {
      const entries = await entriesIn(c);
      return onStored(c, deps, (tx, stored) => mend(c, tx, stored, entries, deps.now()));
    })
    .get('/records/job/take-out', guard('owner'), (c) => onStored(c, deps, (_, stored) => takeOutPage(c, stored)))
    .post('/records/job/take-out', guard('owner'), async (c) => {
      const version = String((await formOf(c)).get('version'));
      return onStored(c, deps, (tx, stored) => takeOut(c, tx, stored, version));
    });
}

/** With the record that the address names, as it stands. */
function onStored(
  c: PageContext,
  { db }: AppDeps,
  work: (tx: ShopTransaction, stored: StoredRecord) => Promise<Response>,
): Promise<Response> {
  return inOwnShop(c, db, async (tx) => {
    const ref = refOf(c);
    if (ref === undefined) return noSuchPage(c);
    const stored = await readRecord(tx, ref);
    if (stored) return work(tx, stored);
    return c.req.method === 'GET' ? noSuchJob(c, ref) : gonePage(c);
  });
}

function freshPage(c: PageContext, tx: ShopTransaction, stored: StoredRecord): Promise<Response> {
  const { timeZone, settings } = c.get('session').shop;
  const entries = entriesOf(stored.record, settings.units, timeZone);
  return mendPage(c, tx, { stored, entries, form: readForm(entries, settings.units).form });
}

async function mend(
  c: PageContext,
  tx: ShopTransaction,
  stored: StoredRecord,
  sent: readonly FormEntry[],
  now: Date,
): Promise<Response> {
  const { timeZone, settings } = c.get('session').shop;
  const { units } = settings;
  const changed = reshaped(sent, units);
  const entries = changed ?? withoutEmptyLines(sent, stored.record);
  const { input, form, faults } = readJob(entries, { units, timeZone, before: stored.record.finishedAt });
  const { version, ...job } = input;
  const page = { stored, entries, form };
  if (version !== etagOf(stored)) return meanwhilePage(c, tx, page, String(version));
  if (changed) return mendPage(c, tx, page);
  const whole = { ...asStoredWhereUntouched(job, stored.record, units, timeZone), ref: stored.record.ref };
  const checked = checkRecord(whole, { now, ...(await readListKeys(tx)) });
  const wrong: readonly Fault[] = checked.ok ? faults : [...faults, ...checked.faults];
  if (!checked.ok || wrong.length > 0)
    return mendPage(c, tx, { ...page, form: withFaults(form, jobFaultsInWords(wrong, form, units)) });
  return store(c, tx, page, checked.record);
}

async function store(c: PageContext, tx: ShopTransaction, page: MendPage, record: FinishedJob): Promise<Response> {
  const seen = etagOf(page.stored);
  const result = await replaceRecord(tx, record, [seen], c.get('session').personId);
  if (result.outcome === 'missing') return gonePage(c);
  if (result.outcome === 'stale') {
    const stored = await readRecord(tx, record.ref);
    return stored ? meanwhilePage(c, tx, { ...page, stored }, seen) : gonePage(c);
  }
  return c.redirect(`${jobHref(record.ref)}&done=${result.outcome === 'changed' ? 'mended' : 'unchanged'}`, 303);
}

interface MendPage {
  readonly stored: StoredRecord;
  readonly entries: readonly FormEntry[];
  readonly form: FormState;
  readonly meanwhile?: readonly string[];
}

async function mendPage(c: PageContext, tx: ShopTransaction, page: MendPage): Promise<Response> {
  const { stored, entries, form, meanwhile } = page;
  const { lists, formats } = await tellingFor(c, tx);
  const jobRef = stored.record.ref;
  const status = meanwhile ? statusOf.preconditionFailed : statusFor(form);
  return show(
    c,
    { title: `Mend job ${jobRef}`, status, scripts: ['steppers.js'] },
    <Mend {...{ jobRef, form, entries, lists, formats, meanwhile }} version={etagOf(stored)} />,
  );
}

/** Tells what somebody else changed since the version that this form began with; storing again then replaces theirs. */
async function meanwhilePage(c: PageContext, tx: ShopTransaction, page: MendPage, seen: string): Promise<Response> {
  const version = Number(/^"(\d{1,9})-/.exec(seen)?.[1] ?? 0);
  const began = await readVersion(tx, page.stored.record.ref, version);
  const meanwhile = began ? changesBetween(began, page.stored.record, await tellingFor(c, tx)) : [];
  return mendPage(c, tx, { ...page, meanwhile });
}

function takeOutPage(c: PageContext, stored: StoredRecord, changed = false): Promise<Response> {
  const { record } = stored;
  const jobRef = record.ref;
  const says = `${workInWords(record)}; ended ${c.get('formats').date(new Date(record.finishedAt))}.`;
  const status = changed ? statusOf.preconditionFailed : 200;
  return show(
    c,
    { title: `Take out job ${jobRef}?`, status },
    <TakeOut {...{ jobRef, says, changed }} version={etagOf(stored)} />,
  );
}

async function takeOut(c: PageContext, tx: ShopTransaction, stored: StoredRecord, version: string): Promise<Response> {
  const { ref } = stored.record;
  const result = await deleteRecord(tx, ref, [version], c.get('session').personId);
  if (result.outcome === 'missing') return gonePage(c);
  if (result.outcome === 'stale') return takeOutPage(c, stored, true);
  return c.redirect(jobHref(ref), 303);
}

function gonePage(c: PageContext): Promise<Response> {
  return refusePage(c, {
    status: statusOf.notFound,
    title: 'Taken out meanwhile',
    text: 'Somebody took this job out. What you sent was not stored; go one page back and what you typed is still there.',
    way: { href: '/records', label: 'To the jobs' },
  });
}
