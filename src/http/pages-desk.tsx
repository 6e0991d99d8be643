import type { Fault } from '../domain/faults.ts';
import type { PlannedJobInput } from '../domain/planned.ts';
import { type BodyStyle, bodyStyles } from '../domain/vocabulary.ts';
import { zonedMinute } from '../domain/zoned-time.ts';
import { readAsked, readGiven } from '../insight/given-estimate.ts';
import { Desk, type Drafted, NotYet } from '../pages/desk.tsx';
import { EstimateView } from '../pages/desk-estimate.tsx';
import { planForForm, usualPlan } from '../pages/desk-plan.ts';
import { type FormState, freshForm, type SentForm } from '../pages/form-input.ts';
import { readGivenEstimate } from '../store/estimates.ts';
import type { AppDeps } from './env.ts';
import { planSent, startFaults, withPlanFaults, withUsualTicks } from './pages-desk-form.ts';
import type { PageContext } from './pages-env.ts';
import { sentForm } from './pages-form.ts';
import { offeredIn } from './pages-offered.ts';
import { show, showPart, statusFor } from './pages-show.tsx';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';
import type { Shared } from './shared.ts';
import { statusOf } from './status.ts';

type DeskDeps = AppDeps & Pick<Shared, 'estimates'>;

/** The desk: an estimate as it is typed in, and kept when the customer takes it. */
export function deskPages(deps: AppDeps, { estimates }: Pick<Shared, 'estimates'>) {
  const guard = sessionGuard(deps)('desk');
  const desk = { ...deps, estimates };
  return newPages()
    .get('/estimate', guard, (c) => firstPage(c, desk))
    .post('/estimate', guard, (c) => sentPage(c, desk))
    .post('/estimate/draft', guard, (c) => draftPart(c, desk));
}

/** The usual job, or one like a former estimate's (`?like=`), beginning soon. */
async function firstPage(c: PageContext, desk: DeskDeps): Promise<Response> {
  const { timeZone } = c.get('session').shop;
  const like = await planLike(c, desk);
  const plan = { ...(like ?? usualPlan('sedan')), startAt: zonedMinute(nextHalfHour(desk.now()), timeZone) };
  const made = await estimateOf(c, desk, 'draft', plan);
  return deskPage(c, desk, { plan, form: freshForm, ...(made.ok ? { drafted: made.drafted } : {}) });
}

async function sentPage(c: PageContext, desk: DeskDeps): Promise<Response> {
  const asSent = await sentForm(c);
  const bodyStyle = bodyStyleOf(asSent);
  const plan = usualPlan(bodyStyle);
  const wanted = asSent.input.do;
  const sent = wanted === 'usual' ? withUsualTicks(asSent, bodyStyle) : asSent;
  const made = await drawUp(c, desk, wanted === 'keep' ? 'make' : 'draft', sent);
  if (!made.ok) return deskPage(c, desk, { plan, form: made.form });
  if (wanted === 'keep') return c.redirect(`/estimate/${made.drafted.estimate.id}#content`, 303);
  return deskPage(c, desk, { plan, form: sent.form, drafted: made.drafted });
}

/** The estimate alone, for the script that puts it beside the form while that is typed in. */
async function draftPart(c: PageContext, desk: DeskDeps): Promise<Response> {
  const made = await drawUp(c, desk, 'draft', await sentForm(c));
  const { timeZone } = c.get('session').shop;
  const part = made.ok ? (
    <EstimateView {...made.drafted} formats={c.get('formats')} timeZone={timeZone} />
  ) : (
    <NotYet form={made.form} />
  );
  return showPart(c, part, made.ok ? 200 : statusOf.invalid);
}

type DrawnUp = { readonly ok: true; readonly drafted: Drafted } | { readonly ok: false; readonly form: FormState };

async function drawUp(c: PageContext, desk: DeskDeps, how: 'make' | 'draft', sent: SentForm): Promise<DrawnUp> {
  const plan = planSent(sent, c.get('session').shop.timeZone);
  const formats = c.get('formats');
  const early = startFaults(plan, desk.now(), c.get('session').shop.timeZone, formats);
  const made = await estimateOf(c, desk, early.length > 0 ? 'draft' : how, plan.input);
  if (made.ok && early.length === 0) return made;
  const faults = [...early, ...(made.ok ? [] : made.faults)];
  return { ok: false, form: withPlanFaults(sent, faults, plan, formats.units) };
}

async function estimateOf(
  c: PageContext,
  { estimates }: DeskDeps,
  how: 'make' | 'draft',
  input: object,
): Promise<
  { readonly ok: true; readonly drafted: Drafted } | { readonly ok: false; readonly faults: readonly Fault[] }
> {
  const made = await estimates[how](c.get('session').shop.shopId, input, JSON.stringify(input));
  if (!made.ok) return made;
  const { answer, request } = made.value;
  return { ok: true, drafted: { estimate: readGiven(answer), plan: readAsked(request) } };
}

interface DeskState {
  readonly plan: PlannedJobInput;
  readonly form: FormState;
  readonly drafted?: Drafted;
}

async function deskPage(c: PageContext, { db, now }: DeskDeps, state: DeskState): Promise<Response> {
  const { timeZone, settings } = c.get('session').shop;
  const lists = await inOwnShop(c, db, (tx) => offeredIn(c, tx, now()));
  const startAt = state.plan.startAt?.slice(0, 16) ?? '';
  const page = { title: 'Estimate', wide: true, scripts: ['desk.js'] };
  return show(
    c,
    { ...page, status: statusFor(state.form) },
    <Desk {...{ startAt, settings, timeZone }} {...lists} drafted={undefined} formats={c.get('formats')} {...state} />,
  );
}

/** The plan of the estimate that is named, undefined where there is none of that id. */
function planLike(c: PageContext, { db, now }: DeskDeps): Promise<PlannedJobInput | undefined> {
  const id = c.req.query('like') ?? '';
  return inOwnShop(c, db, async (tx) => {
    const stored = await readGivenEstimate(tx, id);
    return stored && planForForm(readAsked(stored.request), await offeredIn(c, tx, now()));
  });
}

function bodyStyleOf({ input }: SentForm): BodyStyle {
  return bodyStyles.find((one) => one === input.bodyStyle) ?? 'sedan';
}

function nextHalfHour(now: Date): Date {
  return new Date(Math.ceil(now.getTime() / halfHourMs) * halfHourMs);
}

const halfHourMs = 1_800_000;
