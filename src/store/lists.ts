import type { Machine, Technician } from '../domain/lists.ts';
import { type Database, inShop, type ShopTransaction } from './shop-scope.ts';
import { holdOwnShop } from './shops.ts';

/** The keys that a record may name. */
export interface ListKeys {
  readonly technicians: ReadonlySet<string>;
  readonly machines: ReadonlySet<string>;
}

export async function readTechnicians({ sql, shopId }: ShopTransaction): Promise<Technician[]> {
  const rows = await sql`
    select key, name, active_from as from, active_until as until from technician
    where shop_id = ${shopId} order by key`;
  return rows.map((row) => withoutNulls<Technician>(row));
}

export async function readMachines({ sql, shopId }: ShopTransaction): Promise<Machine[]> {
  const rows = await sql`
    select key, name, kind, grade, water_lift_kpa as "waterLiftKpa", airflow_m3h as "airflowM3h", heated, price,
      active_from as from, active_until as until
    from machine where shop_id = ${shopId} order by key`;
  return rows.map((row) => withoutNulls<Machine>(row));
}

/** Everybody and every machine that a record may name, those who have left too. */
export interface ShopLists {
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
}

export async function readLists(tx: ShopTransaction): Promise<ShopLists> {
  const [technicians, machines] = await Promise.all([readTechnicians(tx), readMachines(tx)]);
  return { technicians, machines };
}

/** Adds or replaces by key; nobody is ever taken off, for records name them. Whoever holds the shop (`holdOwnShop`) is waited for. */
export async function putTechnicians(tx: ShopTransaction, list: readonly Technician[]): Promise<void> {
  const { sql, shopId } = tx;
  await holdOwnShop(tx);
  await sql`
    insert into technician (shop_id, key, name, active_from, active_until)
    select ${shopId}::uuid, t.key, t.name, t."from", t.until
    from jsonb_to_recordset(${JSON.stringify(list)}::text::jsonb) as t (key text, name text, "from" date, until date)
    order by t.key collate "C"
    on conflict (shop_id, key) do update set
      name = excluded.name, active_from = excluded.active_from, active_until = excluded.active_until`;
}

/** Adds or replaces by key; none is ever taken off, for records name them. Whoever holds the shop is waited for. */
export async function putMachines(tx: ShopTransaction, list: readonly Machine[]): Promise<void> {
  const { sql, shopId } = tx;
  await holdOwnShop(tx);
  await sql`
    insert into machine (shop_id, key, name, kind, grade, water_lift_kpa, airflow_m3h, heated, price,
      active_from, active_until)
    select ${shopId}::uuid, m.key, m.name, m.kind, m.grade, m."waterLiftKpa", m."airflowM3h", m.heated, m.price,
      m."from", m.until
    from jsonb_to_recordset(${JSON.stringify(list)}::text::jsonb) as m (
      key text, name text, kind text, grade text, "waterLiftKpa" float8, "airflowM3h" float8, heated boolean,
      price float8, "from" date, until date)
    order by m.key collate "C"
    on conflict (shop_id, key) do update set
      name = excluded.name, kind = excluded.kind, grade = excluded.grade, water_lift_kpa = excluded.water_lift_kpa,
      airflow_m3h = excluded.airflow_m3h, heated = excluded.heated, price = excluded.price,
      active_from = excluded.active_from, active_until = excluded.active_until`;
}

/** Adds those of the keys that are not there yet, under their key as name; a machine as of standard grade. */
export async function createMissing(
  { sql, shopId }: ShopTransaction,
  keys: { readonly technicians: readonly string[]; readonly machines: readonly string[] },
): Promise<void> {
  if (keys.technicians.length > 0)
    await sql`
      insert into technician (shop_id, key, name)
      select ${shopId}::uuid, key, key from unnest(${[...keys.technicians]}::text[]) as key order by key collate "C"
      on conflict (shop_id, key) do nothing`;
  if (keys.machines.length > 0)
    await sql`
      insert into machine (shop_id, key, name, kind, grade)
      select ${shopId}::uuid, key, key, 'extractor', 'standard' from unnest(${[...keys.machines]}::text[]) as key
      order by key collate "C"
      on conflict (shop_id, key) do nothing`;
}

export async function readListKeys({ sql, shopId }: ShopTransaction): Promise<ListKeys> {
  const rows = await sql<{ list: string; key: string }[]>`
    select 'technician' as list, key from technician where shop_id = ${shopId}
    union all select 'machine', key from machine where shop_id = ${shopId}`;
  const keysOf = (list: string) => new Set(rows.filter((row) => row.list === list).map(({ key }) => key));
  return { technicians: keysOf('technician'), machines: keysOf('machine') };
}

/**
 * The keys of each shop as last read. Nobody is ever taken off a list, so a key once read stays good; one that is not
 * found here may have been added since, and only a fresh reading can refuse it.
 */
export class KnownKeys {
  readonly #db: Pick<Database, 'sql'>;
  readonly #byShop = new Map<string, ListKeys>();

  constructor(db: Pick<Database, 'sql'>) {
    this.#db = db;
  }

  async known(shopId: string): Promise<ListKeys> {
    return this.#byShop.get(shopId) ?? this.fresh(shopId);
  }

  async fresh(shopId: string): Promise<ListKeys> {
    const keys = await inShop(this.#db, shopId, readListKeys);
    this.#byShop.set(shopId, keys);
    return keys;
  }
}

/** The border from a row to its list's type: absent columns are absent fields. */
function withoutNulls<T>(row: object): T {
  return Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null)) as T;
}
