import type { z } from 'zod';
import { type Fault, faultSaying } from '../domain/faults.ts';
import { type FitReading, readFitSummary } from '../insight/rules/fit-reading.ts';
import {
  adjustmentOf,
  askedOf,
  isAsItStands,
  programsRule,
  type RuleAsked,
  ruleForm,
} from '../insight/rules/rule-adjustment.ts';
import { type RuleLine, ruleLines } from '../insight/rules/rule-lines.ts';
import { overrideFaults, type RuleOverrides, ruleTable } from '../models/rule-table.ts';
import type { RuleOfThumb } from '../models/rules-of-thumb.ts';
import { type FormState, freshForm } from '../pages/form-input.ts';
import { type ChangedField, changedMeanwhile, onTopOf } from '../pages/form-meanwhile.ts';
import { RulePage, ruleShown } from '../pages/trust-rule.tsx';
import { ruleModelNames } from '../pages/trust-rule-words.ts';
import { RulesPage } from '../pages/trust-rules.tsx';
import { readFit, readPublishedId } from '../store/fits.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import { changeShopSettings, holdOwnShop, readShopSettings } from '../store/shops.ts';
import type { AppDeps } from './env.ts';
import { csvFile } from './pages-csv.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { type FormReading, formBy } from './pages-form.ts';
import { show, statusFor } from './pages-show.tsx';
import { ruleTable as csvTable } from './pages-trust-tables.ts';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';

/** The rules of thumb: read beside what the records say, and adjusted. */
export function rulePages(deps: AppDeps) {
  const guard = sessionGuard(deps)('owner');
  return newPages()
    .get('/findings/rules', guard, async (c) => {
      const lines = await inOwnShop(c, deps.db, readLines);
      const model = modelsWithRules.find((name) => name === c.req.query('figure')) ?? 'passes';
      const stored = (['stored', 'unchanged'] as const).find((one) => c.req.query(one) !== undefined);
      const page = { title: 'Rules of thumb', wide: true };
      return show(c, page, <RulesPage {...{ lines, model, stored }} formats={c.get('formats')} />);
    })
    .get('/findings/rules.csv', guard, async (c) =>
      csvFile(c, 'rules', csvTable(await inOwnShop(c, deps.db, readLines))),
    )
    .get('/findings/rules/:id', guard, (c) => inOwnShop(c, deps.db, (tx) => rulePage(c, tx, freshForm)))
    .post('/findings/rules/:id', guard, async (c) => {
      const rule = programsRule(c.req.param('id'));
      if (!rule) return noSuchPage(c);
      const read = await formBy(c, ruleForm(rule), (asked) => faultsOf(rule, asked));
      return inOwnShop(c, deps.db, (tx) => change(c, tx, rule, read));
    })
    .post('/findings/rules/:id/reset', guard, async (c) => {
      const rule = programsRule(c.req.param('id'));
      if (!rule) return noSuchPage(c);
      await inOwnShop(c, deps.db, (tx) => storeRules(tx, ({ [rule.id]: _, ...others }) => others));
      return c.redirect(`/findings/rules?figure=${rule.model}&stored`, 303);
    });
}

const modelsWithRules = Object.keys(ruleModelNames) as (keyof typeof ruleModelNames)[];

async function change(
  c: PageContext,
  tx: ShopTransaction,
  { id, model }: RuleOfThumb,
  read: FormReading<RuleAsked>,
): Promise<Response> {
  const { rules } = (await holdOwnShop(tx)).settings;
  const rule = ruleTable(rules).find((one) => one.id === id);
  const line = rule && lineOf(rule, undefined);
  if (!line) return noSuchPage(c);
  const now = ruleShown(line, askedOf(rule), c.get('formats').units);
  const changes = changedMeanwhile(read.form, now);
  if (changes.length > 0) return rulePage(c, tx, onTopOf(now, read.form), changes);
  if (!read.ok) return rulePage(c, tx, read.form);
  // What is sent as it was shown makes no rule one's own.
  const isSame = isAsItStands(rule, read.value);
  if (!isSame) await storeRules(tx, (others) => ({ ...others, [id]: adjustmentOf(rule, read.value) }));
  return c.redirect(`/findings/rules?figure=${model}&${isSame ? 'unchanged' : 'stored'}`, 303);
}

async function rulePage(
  c: PageContext,
  tx: ShopTransaction,
  form: FormState,
  changes: readonly ChangedField[] = [],
): Promise<Response> {
  const programs = programsRule(c.req.param('id') ?? '');
  const { rules } = await readShopSettings(tx);
  const rule = ruleTable(rules).find(({ id }) => id === programs?.id);
  if (!programs || !rule) return noSuchPage(c);
  const fit = await readPublishedReading(tx);
  const [line, own] = [rule, programs].map((one) => lineOf(one, fit));
  if (!line || !own) return noSuchPage(c);
  const page = { title: `Rule of thumb: ${line.name}`, status: statusFor(form, changes) };
  const asked = askedOf(rule);
  const about = { line, programs: own, asked, form, changes, formats: c.get('formats') };
  return show(c, page, <RulePage {...about} />);
}

function lineOf(rule: RuleOfThumb, fit: FitReading | undefined): RuleLine | undefined {
  return ruleLines([rule], fit)[0];
}

async function readLines(tx: ShopTransaction): Promise<readonly RuleLine[]> {
  const { rules } = await readShopSettings(tx);
  return ruleLines(ruleTable(rules), await readPublishedReading(tx));
}

/** What people may read of the fit in use. */
async function readPublishedReading(tx: ShopTransaction): Promise<FitReading | undefined> {
  const fitId = await readPublishedId(tx);
  const fit = fitId === undefined ? undefined : await readFit(tx, fitId);
  return fit && readFitSummary(fit.summary);
}

function faultsOf(rule: RuleOfThumb, asked: z.output<ReturnType<typeof ruleForm>>): Fault[] {
  return overrideFaults({ [rule.id]: adjustmentOf(rule, asked) }).map((message) => faultSaying([], message));
}

function storeRules(tx: ShopTransaction, change: (rules: RuleOverrides) => RuleOverrides): Promise<void> {
  return changeShopSettings(tx, (settings) => ({ ...settings, rules: change(settings.rules) }));
}
