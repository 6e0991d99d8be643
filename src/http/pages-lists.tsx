import type { JSX } from 'hono/jsx/jsx-runtime';
import type { z } from 'zod';
import { type Fault, fault, readBy } from '../domain/faults.ts';
import { keyFrom, listFaults, type Machine, machine, type Technician, technician } from '../domain/lists.ts';
import { type FormState, freshForm, withFaults } from '../pages/form-input.ts';
import { type ChangedField, changedMeanwhile, isUntouched, onTopOf, type Shown } from '../pages/form-meanwhile.ts';
import type { Formats } from '../pages/format.ts';
import {
  EntryFaults,
  EntryMeanwhile,
  MachineForm,
  Machines,
  machineShown,
  TechnicianForm,
  Technicians,
  technicianShown,
} from '../pages/lists.tsx';
import type { Units } from '../pages/measures.ts';
import { putMachines, putTechnicians, readMachines, readTechnicians } from '../store/lists.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import { holdOwnShop } from '../store/shops.ts';
import type { AppDeps } from './env.ts';
import type { PageContext } from './pages-env.ts';
import { noSuchPage } from './pages-errors.tsx';
import { sentForm } from './pages-form.ts';
import { show, statusFor } from './pages-show.tsx';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';

/** The shop's own lists: whose work is recorded, and which extractors there are. Nobody is taken off; one ends. */
export function technicianPages(deps: AppDeps) {
  return pagesOfList<Technician>(deps, {
    path: '/technicians',
    title: 'Technicians',
    schema: technician,
    fixed: {},
    read: readTechnicians,
    shown: technicianShown,
    put: (tx, one) => putTechnicians(tx, [one]),
    All: Technicians,
    One: TechnicianForm,
  });
}

export function machinePages(deps: AppDeps) {
  return pagesOfList<Machine>(deps, {
    path: '/machines',
    title: 'Machines',
    schema: machine,
    fixed: { kind: 'extractor' },
    read: readMachines,
    shown: machineShown,
    put: (tx, one) => putMachines(tx, [one]),
    All: Machines,
    One: MachineForm,
  });
}

interface Entry {
  readonly key: string;
  readonly name: string;
  readonly from?: string | undefined;
  readonly until?: string | undefined;
}

interface ListKind<T extends Entry> {
  readonly path: string;
  readonly title: string;
  readonly schema: z.ZodType<T>;
  /** What no form asks for. */
  readonly fixed: Readonly<Record<string, unknown>>;
  readonly read: (tx: ShopTransaction) => Promise<T[]>;
  readonly put: (tx: ShopTransaction, one: T) => Promise<void>;
  readonly shown: (one: T, units: Units) => Shown;
  readonly All: (props: { list: readonly T[]; form: FormState; formats: Formats }) => JSX.Element;
  readonly One: (props: { form: FormState; formats: Formats; action: string; one: T }) => JSX.Element;
}

function pagesOfList<T extends Entry>(deps: AppDeps, kind: ListKind<T>) {
  const guard = sessionGuard(deps)('owner');
  const { path } = kind;
  return newPages()
    .get(path, guard, (c) => inOwnShop(c, deps.db, (tx) => allPage(c, tx, kind, freshForm)))
    .post(path, guard, (c) => add(c, deps, kind))
    .get(`${path}/:key`, guard, (c) => inOwnShop(c, deps.db, (tx) => onePage(c, tx, kind, freshForm)))
    .post(`${path}/:key`, guard, (c) => change(c, deps, kind));
}

async function add<T extends Entry>(c: PageContext, deps: AppDeps, kind: ListKind<T>): Promise<Response> {
  const { input, form } = await sentForm(c);
  // An empty key is left for the schema to refuse.
  const read = readEntry(kind, { key: keyFrom(String(input.name ?? '')), ...input });
  return inOwnShop(c, deps.db, async (tx) => {
    if ('faults' in read) return allPage(c, tx, kind, withFaults(form, told(read.faults, input)));
    await holdOwnShop(tx);
    const taken = (await kind.read(tx)).some(({ key }) => key === read.one.key);
    if (taken) return allPage(c, tx, kind, withFaults(form, [fault(['key'], read.one.key, 'in the list already')]));
    await kind.put(tx, read.one);
    return c.redirect(kind.path, 303);
  });
}

async function change<T extends Entry>(c: PageContext, deps: AppDeps, kind: ListKind<T>): Promise<Response> {
  const { input, form } = await sentForm(c);
  const key = c.req.param('key') ?? '';
  return inOwnShop(c, deps.db, async (tx) => {
    await holdOwnShop(tx);
    const before = (await kind.read(tx)).find((one) => one.key === key);
    if (!before) return noSuchPage(c);
    const now = kind.shown(before, c.get('formats').units);
    const changes = changedMeanwhile(form, now);
    if (changes.length > 0) return onePage(c, tx, kind, onTopOf(now, form), changes);
    const read = readEntry(kind, { ...input, ...asStoredWhereUntouched(before, form, now), key });
    if ('faults' in read) return onePage(c, tx, kind, withFaults(form, read.faults));
    await kind.put(tx, read.one);
    return c.redirect(kind.path, 303);
  });
}

/** A new name leaves the suction what it was to the last digit, though its field shows fewer, and in other units. */
function asStoredWhereUntouched(before: Entry, form: FormState, now: Shown): object {
  return Object.fromEntries(Object.entries(before).filter(([name]) => isUntouched(form, now, name)));
}

function readEntry<T extends Entry>(
  { schema, fixed }: ListKind<T>,
  input: object,
): { readonly one: T } | { readonly faults: readonly Fault[] } {
  const read = readBy(schema, { ...input, ...fixed });
  if (!read.ok) return { faults: read.faults };
  const together = listFaults([read.value]).map((one) => ({ ...one, pointer: one.pointer.replace('/0', '') }));
  return together.length > 0 ? { faults: together } : { one: read.value };
}

async function allPage<T extends Entry>(
  c: PageContext,
  tx: ShopTransaction,
  { title, read, All }: ListKind<T>,
  form: FormState,
): Promise<Response> {
  const list = await read(tx);
  return show(c, { title, status: statusFor(form) }, <All list={list} form={form} formats={c.get('formats')} />);
}

async function onePage<T extends Entry>(
  c: PageContext,
  tx: ShopTransaction,
  { path, read, One }: ListKind<T>,
  form: FormState,
  changes: readonly ChangedField[] = [],
): Promise<Response> {
  const one = (await read(tx)).find(({ key }) => key === c.req.param('key'));
  if (!one) return noSuchPage(c);
  const at = { formats: c.get('formats'), href: `${path}/${one.key}` };
  const body = (
    <>
      <EntryMeanwhile changes={changes} {...at} />
      <EntryFaults form={form} />
      <One form={form} formats={at.formats} action={at.href} one={one} />
      <p class="alone">
        <a href={path}>Back without storing</a>
      </p>
    </>
  );
  return show(c, { title: one.name, status: statusFor(form, changes) }, body);
}

/** Without a name there is no short one either: that is one thing to mend, not two. */
function told(faults: readonly Fault[], input: Readonly<Record<string, unknown>>): readonly Fault[] {
  const nameless = input.name === undefined && input.key === undefined;
  return nameless ? faults.filter(({ pointer }) => pointer !== '/key') : faults;
}
