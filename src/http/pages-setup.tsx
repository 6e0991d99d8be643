import { z } from 'zod';
import { newShop, type Shop } from '../domain/shop.ts';
import { shopSettings } from '../domain/shop-settings.ts';
import { type FormState, freshForm } from '../pages/form-input.ts';
import { Setup, type SetupStep } from '../pages/setup.tsx';
import { readMachines, readTechnicians } from '../store/lists.ts';
import { listPeople } from '../store/people.ts';
import { setShopProfile } from '../store/shop-profile.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import { changeShopSettings, readOwnShop } from '../store/shops.ts';
import type { AppDeps } from './env.ts';
import type { PageContext } from './pages-env.ts';
import { formBy } from './pages-form.ts';
import { show } from './pages-show.tsx';
import { newPages, sessionGuard } from './sessions.ts';
import { statusOf } from './status.ts';

/** No defaults here: a field that was emptied is a fault, not the program's choice. */
const { labourRate, materials, currency, units } = shopSettings.shape;
const setupForm = z.strictObject({
  name: newShop.shape.name.describe('text of 1 to 120 characters'),
  timeZone: newShop.shape.timeZone,
  units: units.unwrap(),
  currency: currency.unwrap(),
  labourRate: labourRate.unwrap(),
  materials: materials.unwrap(),
  overrunPercent: z.number().gte(1).lte(99).describe('a number from 1 to 99'),
  shown: z.record(z.string(), z.string()).optional(),
});
type SetupForm = z.output<typeof setupForm>;

/** Setting up: the shop itself, and the way to its people and machines. */
export function setupPages(deps: AppDeps) {
  const guard = sessionGuard(deps);
  return newPages()
    .get('/setup', guard('owner'), (c) => setupPage(c, deps, freshForm))
    .post('/setup', guard('owner'), async (c) => {
      const read = await formBy(c, setupForm);
      if (!read.ok) return setupPage(c, deps, read.form);
      await inShop(deps.db, c.get('session').shop.shopId, (tx) => store(tx, changed(read.value, read.form)));
      return c.redirect('/setup?stored', 303);
    });
}

async function setupPage(c: PageContext, { db }: AppDeps, form: FormState): Promise<Response> {
  const { shop } = c.get('session');
  const steps = await inShop(db, shop.shopId, readSteps);
  const stored = c.req.method === 'GET' && c.req.query('stored') !== undefined;
  const choices = { timeZones: timeZonesWith(shop), currencies: currencyNames(shop) };
  const status = form.faults.length > 0 ? statusOf.invalid : 200;
  return show(c, { title: 'Setting up', status }, <Setup {...{ shop, form, steps, stored }} {...choices} />);
}

/** What was changed against what the form showed: another owner may have stored the rest anew since then. */
function changed({ shown: _, ...sent }: SetupForm, form: FormState): Partial<SetupForm> {
  const own: Partial<SetupForm> = sent;
  for (const name of Object.keys(own))
    if (form.typed(name) === form.typed(`shown.${name}`)) Reflect.deleteProperty(own, name);
  return own;
}

/** The rules of thumb have a page of their own; they are kept. */
async function store(tx: ShopTransaction, { name, timeZone, overrunPercent, ...own }: Partial<SetupForm>) {
  const risk = overrunPercent === undefined ? {} : { overrunRisk: overrunPercent / 100 };
  await changeShopSettings(tx, (before) => ({ ...before, ...own, ...risk }));
  const before = await readOwnShop(tx);
  await setShopProfile(tx, { name: name ?? before.name, timeZone: timeZone ?? before.timeZone });
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
