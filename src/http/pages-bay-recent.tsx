import { z } from 'zod';
import { type Fault, faultSaying } from '../domain/faults.ts';
import { dryingCheck, jobRef } from '../domain/record.ts';
import { comebacks, damages } from '../domain/vocabulary.ts';
import { RecentJobs } from '../pages/bay-recent.tsx';
import { type FormState, withFaults } from '../pages/form-input.ts';
import { readTechnicians } from '../store/lists.ts';
import { readRecord, readRecordPage } from '../store/records.ts';
import { inShop } from '../store/shop-scope.ts';
import { dryingForecasts } from './drying-forecasts.ts';
import type { AppDeps } from './env.ts';
import { addLearnt, type FollowedUp } from './follow-ups.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchJob, noSuchPage } from './pages-errors.tsx';
import { formBy } from './pages-form.ts';
import { show } from './pages-show.tsx';
import type { Shared } from './shared.ts';
import { statusOf } from './status.ts';

const shownRecent = 10;

interface Refused {
  readonly ref: string;
  readonly form: FormState;
}

/** The latest jobs; where the address names one that was stored just now, that it is, and when it may be dry. */
export async function recentPage(
  c: PageContext,
  deps: AppDeps,
  { estimates }: Shared,
  refused?: Refused,
): Promise<Response> {
  const { shopId } = c.get('session').shop;
  const formats = c.get('formats');
  const ref = refused ? refused.ref : refIn(c.req.query('stored'));
  const { records, technicians, named } = await inShop(deps.db, shopId, async (tx) => ({
    ...(await readRecordPage(tx, {}, { limit: shownRecent, newestFirst: true })),
    technicians: await readTechnicians(tx),
    named: ref === undefined ? undefined : (await readRecord(tx, ref))?.record,
  }));
  const stored = refused ? undefined : named;
  // Others may have recorded so many since the form was opened that its job is no longer among the latest.
  const others = records.filter((job) => job.ref !== refused?.ref);
  const jobs = refused && named ? [named, ...others] : records;
  const forecasts = await dryingForecasts(estimates, shopId, stored ? [stored, ...jobs] : jobs, deps.now());
  const body = (
    <RecentJobs {...{ jobs, technicians, formats, shopId, refused, forecasts }} now={deps.now()} stored={stored} />
  );
  return show(c, { title: 'Recent jobs', status: refused ? statusOf.invalid : 200, scripts: ['bay.js'] }, body);
}

const laterForm = z.strictObject({
  ref: z.string(),
  hours: dryingCheck.shape.hours.optional(),
  dry: z.boolean().optional(),
  comeback: z.enum(comebacks).optional(),
  damage: z.enum(damages).optional(),
});

/** Adds a drying check, a comeback or both to a recent job. */
export async function learnLater(c: PageContext, deps: AppDeps, shared: Shared): Promise<Response> {
  const { shop, personId } = c.get('session');
  const { shopId } = shop;
  const read = await formBy(c, laterForm);
  const ref = refIn(read.form.typed('ref'));
  if (ref === undefined) return noSuchPage(c);
  const refusedBy = (faults: readonly Fault[]) =>
    recentPage(c, deps, shared, { ref, form: withFaults(read.form, faults) });
  if (!read.ok) return refusedBy(read.form.faults);
  const stored = await inShop(deps.db, shopId, (tx) => readRecord(tx, ref));
  if (!stored) return noSuchJob(c, ref);
  const nothing = nothingSaid(read.value);
  if (nothing) return refusedBy([nothing]);
  const result = await store(deps, { shopId, by: personId }, read.value, stored.record.finishedAt);
  if ('faults' in result) return refusedBy(result.faults.map(inFormWords));
  if (result.outcome === 'missing') return noSuchJob(c, ref);
  return c.redirect(`/jobs/recent?stored=${encodeURIComponent(ref)}`, 303);
}

/** Undefined for what is no number that a job can have. */
function refIn(text: string | undefined): string | undefined {
  return jobRef.safeParse(text).data;
}

type Later = z.output<typeof laterForm>;

function nothingSaid({ hours, dry, comeback, damage }: Later): Fault | undefined {
  if (hours !== undefined && dry === undefined) return faultSaying(['dry'], 'Was it dry or still wet?');
  if (damage !== undefined && comeback === undefined)
    return faultSaying(['comeback'], 'What did it come back with? Choose none where it was the damage alone');
  if (dry === undefined && comeback === undefined)
    return faultSaying([], 'Nothing was filled in: a check, or what it came back with');
  return undefined;
}

/** A check without hours is one made now. */
function store(
  deps: AppDeps,
  { shopId, by }: { readonly shopId: string; readonly by: string },
  { ref, hours, dry, comeback, damage }: Later,
  finishedAt: string,
): Promise<FollowedUp> {
  const since = (deps.now().getTime() - Date.parse(finishedAt)) / 3_600_000;
  const checks = dry === undefined ? undefined : { hours: hours ?? Number(Math.max(0, since).toFixed(2)), dry };
  const outcome = comeback === undefined ? undefined : { comeback, damage };
  return addLearnt(deps, shopId, ref, { checks, outcome }, by);
}

/** The form tells of a check by its hours. */
function inFormWords(one: Fault): Fault {
  if (one.pointer !== '/dry') return one;
  return faultSaying(['hours'], 'This goes against a check that is there: what was dry does not get wet again');
}
