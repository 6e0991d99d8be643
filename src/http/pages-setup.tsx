import { z } from 'zod';
import { newShop, type Shop } from '../domain/shop.ts';
import { shopSettings } from '../domain/shop-settings.ts';
import { type FormState, freshForm } from '../pages/form-input.ts';
import { type ChangedField, changedMeanwhile, isUntouched, onTopOf } from '../pages/form-meanwhile.ts';
import { Setup, type SetupStep, shownOf } from '../pages/setup.tsx';
import { readMachines, readTechnicians } from '../store/lists.ts';
import { listPeople } from '../store/people.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import { holdOwnShop, replaceShopSettings, setShopProfile } from '../store/shops.ts';
import type { AppDeps } from './env.ts';
import type { PageContext } from './pages-env.ts';
import { type FormReading, formBy } from './pages-form.ts';
import { show, statusFor } from './pages-show.tsx';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';

/** No defaults here: a field that was emptied is a fault, not the program's choice. */
const { labourRate, materials, currency, units } = shopSettings.shape;
const setupForm = z.strictObject({
  name: newShop.shape.name,
  timeZone: newShop.shape.timeZone,
  units: units.unwrap(),
  currency: currency.unwrap(),
  labourRate: labourRate.unwrap(),
  materials: materials.unwrap(),
  overrunPercent: z.number().gte(1).lte(99).describe('a number from 1 to 99'),
});
type SetupForm = z.output<typeof setupForm>;

/** Setting up: the shop itself, and the way to its people and machines. */
export function setupPages(deps: AppDeps) {
  const guard = sessionGuard(deps);
  const { db } = deps;
  return newPages()
    .get('/setup', guard('owner'), (c) => {
      const { shop } = c.get('session');
      return inOwnShop(c, db, (tx) => setupPage(c, tx, { shop, form: freshForm }));
    })
    .post('/setup', guard('owner'), async (c) => {
      const read = await formBy(c, setupForm);
      return inOwnShop(c, db, (tx) => change(c, tx, read));
    });
}

async function change(c: PageContext, tx: ShopTransaction, read: FormReading<SetupForm>): Promise<Response> {
  const shop = await holdOwnShop(tx);
  const changes = changedMeanwhile(read.form, shownOf(shop));
  if (changes.length > 0) return setupPage(c, tx, { shop, changes, form: onTopOf(shownOf(shop), read.form) });
  if (!read.ok) return setupPage(c, tx, { shop, form: read.form });
  await store(tx, shop, touched(read.value, read.form, shop));
  return c.redirect('/setup?stored', 303);
}

interface SetupPage {
  readonly shop: Shop;
  readonly form: FormState;
  readonly changes?: readonly ChangedField[];
}

async function setupPage(c: PageContext, tx: ShopTransaction, { shop, form, changes = [] }: SetupPage) {
  const steps = await readSteps(tx);
  const stored = c.req.method === 'GET' && c.req.query('stored') !== undefined;
  const choices = { timeZones: timeZonesWith(shop), currencies: currencyNames(shop) };
  const page = { title: 'Setting up', status: statusFor(form, changes) };
  return show(c, page, <Setup {...{ shop, form, changes, steps, stored }} {...choices} />);
}

/** What was left as it was stays so to the last digit, of which the form shows fewer. */
function touched(sent: SetupForm, form: FormState, shop: Shop): Partial<SetupForm> {
  const own: Partial<SetupForm> = { ...sent };
  for (const name of Object.keys(own)) if (isUntouched(form, shownOf(shop), name)) Reflect.deleteProperty(own, name);
  return own;
}

/** The rules of thumb have a page of their own; they are kept. */
async function store(tx: ShopTransaction, before: Shop, own: Partial<SetupForm>): Promise<void> {
  const { name = before.name, timeZone = before.timeZone, overrunPercent, ...settings } = own;
  const risk = overrunPercent === undefined ? {} : { overrunRisk: overrunPercent / 100 };
  await replaceShopSettings(tx, { ...before.settings, ...settings, ...risk });
  await setShopProfile(tx, { name, timeZone });
}

async function readSteps(tx: ShopTransaction): Promise<SetupStep[]> {
  const people = (await listPeople(tx)).filter(({ leftAt }) => leftAt === null);
  return [
    { href: '/technicians', label: 'Technicians', state: counted((await readTechnicians(tx)).length) },
    { href: '/machines', label: 'Machines', state: counted((await readMachines(tx)).length) },
    { href: '/people', label: 'People who sign in', state: counted(people.length) },
  ];
}

function counted(count: number): string {
  return count === 0 ? 'none yet' : String(count);
}

/** The runtime's own list leaves some good names out, such as UTC. */
function timeZonesWith(shop: Shop): string[] {
  return [...new Set([...Intl.supportedValuesOf('timeZone'), shop.timeZone])].sort();
}

/** So does that of currencies, new ones; a shop's own that was not there would be another once the form is stored. */
function currencyNames({ settings }: Shop): (readonly [string, string])[] {
  const names = new Intl.DisplayNames('en', { type: 'currency' });
  return [...new Set([...Intl.supportedValuesOf('currency'), settings.currency])]
    .sort()
    .map((code) => [code, `${code}, ${names.of(code) ?? code}`] as const);
}
