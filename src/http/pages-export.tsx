import { z } from 'zod';
import { type Fault, faultSaying, readBy } from '../domain/faults.ts';
import { ExportPage } from '../pages/export.tsx';
import { type FormState, freshForm, withFaults } from '../pages/form-input.ts';
import { readMachines, readTechnicians } from '../store/lists.ts';
import { countRecords } from '../store/records.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import type { PageContext } from './pages-env.ts';
import { askedForm } from './pages-form.ts';
import { pageHeaders, show, statusFor } from './pages-show.tsx';
import { exportRecords, filterOf } from './records-list.ts';
import { day } from './records-schemas.ts';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';

const exportQuery = z.strictObject({
  form: z.enum(['csv', 'ndjson']).default('csv'),
  from: day.optional(),
  to: day.optional(),
});

/** Giving out: all records and the shop's lists, as they can be taken in again. */
export function exportPages(deps: AppDeps) {
  const owner = sessionGuard(deps)('owner');
  return newPages()
    .get('/export', owner, (c) => exportPage(c, deps, freshForm))
    .get('/export/records', owner, (c) => giveRecords(c, deps))
    .get('/export/technicians.json', owner, (c) => giveList(c, deps, 'technicians', readTechnicians))
    .get('/export/machines.json', owner, (c) => giveList(c, deps, 'machines', readMachines));
}

/** Counting further would cost every page of a very large shop. */
const mostCounted = 100_000;

async function exportPage(c: PageContext, { db }: AppDeps, form: FormState): Promise<Response> {
  const count = await inOwnShop(c, db, (tx) => countRecords(tx, {}, mostCounted));
  const { number } = c.get('formats');
  const jobs = count === 1 ? 'One job is recorded.' : `${numberOrMore(count, number)} jobs are recorded.`;
  return show(c, { title: 'Give out', status: statusFor(form) }, <ExportPage form={form} jobs={jobs} />);
}

function numberOrMore(count: number, number: (value: number) => string): string {
  return count > mostCounted ? `More than ${number(mostCounted)}` : number(count);
}

async function giveRecords(c: PageContext, deps: AppDeps): Promise<Response> {
  const { input, form: sent } = askedForm(c);
  const read = readBy(exportQuery, input);
  const faults = read.ok ? orderFaults(read.value) : read.faults;
  if (!read.ok || faults.length > 0) return exportPage(c, deps, withFaults(sent, faults));
  const { form, from, to } = read.value;
  const { shopId, timeZone } = c.get('session').shop;
  const ask = { db: deps.db, shopId, filter: filterOf({ from, to }, timeZone) };
  const { body, contentType } = await exportRecords(ask, form);
  const name = ['jobs', ...(from ? [`from-${from}`] : []), ...(to ? [`to-${to}`] : [])].join('-');
  return c.body(body, 200, fileHeaders(`${name}.${form}`, contentType));
}

function orderFaults({ from, to }: z.output<typeof exportQuery>): Fault[] {
  return from !== undefined && to !== undefined && to < from ? [faultSaying(['to'], `not before ${from}`)] : [];
}

async function giveList<T>(
  c: PageContext,
  { db }: AppDeps,
  name: string,
  read: (tx: ShopTransaction) => Promise<readonly T[]>,
): Promise<Response> {
  const list = await inOwnShop(c, db, read);
  return c.body(`${JSON.stringify(list, null, 2)}\n`, 200, fileHeaders(`${name}.json`, 'application/json'));
}

function fileHeaders(name: string, contentType: string): Record<string, string> {
  return { ...pageHeaders, 'Content-Type': contentType, 'Content-Disposition': `attachment; filename="${name}"` };
}
