import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { migrateDatabase } from '../../db/migrate.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import type { FreshDatabase } from '../support/database.ts';
import { emptyDatabase, freshDatabase } from '../support/database.ts';
import { fillShop } from './fill-shop.ts';

let db: FreshDatabase;
let owner: postgres.Sql;
let tables: string[];
let [ours, theirs] = ['', ''];

beforeAll(async () => {
  db = await freshDatabase();
  owner = postgres(db.ownerUrl, { max: 1, connection: { 'app.every_shop': 'on' } });
  tables = (await owner`select tablename from pg_tables where schemaname = 'public' order by 1`).map(
    (t) => t.tablename,
  );
  [ours, theirs] = [await fillShop(db, 'Ours'), await fillShop(db, 'Theirs')];
});
afterAll(async () => {
  await owner?.end();
  await db?.close();
});

/** The tables for which the work's answer is not the expected one. */
async function unlike<T>(expected: T, ask: (table: string) => Promise<T>): Promise<string[]> {
  const wrong: string[] = [];
  for (const table of tables) {
    const answer = await ask(table);
    if (answer !== expected) wrong.push(`${table}: ${answer}`);
  }
  return wrong;
}

/** How many rows a statement touched as our shop, or why it was refused; nothing of it stays. */
async function touched(shopId: string, statement: string, values: string[] = []): Promise<number | string> {
  let count: number | string = 'not run';
  const undone = new Error('undone on purpose');
  await inShop(db, shopId, async ({ sql }) => {
    count = (await sql.unsafe(statement, values)).count;
    throw undone;
  }).catch((error) => {
    if (error !== undone) count = String(error.code ?? error.message);
  });
  return count;
}

const insufficientPrivilege = '42501';

describe('contract: the catalogue, table by table', () => {
  it('has the tables that the schema names', () => {
    expect(tables).toContain('shop');
    expect(tables.length).toBeGreaterThanOrEqual(9);
  });

  it('has row security enabled and forced', async () => {
    const loose = await owner`
      select relname from pg_class where relnamespace = 'public'::regnamespace and relkind in ('r', 'p')
        and not (relrowsecurity and relforcerowsecurity)`;
    expect([...loose]).toEqual([]);
  });

  it('shows the program by one policy alone, that of the shop', async () => {
    const shopOnly = `(shop_id = (NULLIF(current_setting('app.shop_id'::text, true), ''::text))::uuid)`;
    const wrong = await unlike('one', async (table) => {
      const policies = await owner`
        select qual, with_check, cmd from pg_policies
        where tablename = ${table} and roles && array['secondpass_app', 'public']::name[]`;
      const [policy] = policies;
      const right = policy?.qual === shopOnly && policy?.with_check === shopOnly && policy?.cmd === 'ALL';
      return policies.length === 1 && right ? 'one' : JSON.stringify(policies);
    });
    expect(wrong).toEqual([]);
  });

  it('shows the owner by one more, on his word: without it a backup would miss the table', async () => {
    const wrong = await unlike('one', async (table) => {
      const policies = await owner`
        select qual, with_check from pg_policies
        where tablename = ${table} and policyname = 'owner_sees_every_shop' and roles = array[current_user]`;
      const word = `(current_setting('app.every_shop'::text, true) = 'on'::text)`;
      return policies[0]?.qual === word && policies[0]?.with_check === word ? 'one' : JSON.stringify(policies);
    });
    expect(wrong).toEqual([]);
  });

  it('begins primary key, indexes and foreign keys with the shop', async () => {
    const firstColumns = await owner`
      select c.relname as table, i.indexrelid::regclass::text as name, i.indisprimary as primary,
        (select attname from pg_attribute where attrelid = c.oid and attnum = i.indkey[0]) as first
      from pg_class c left join pg_index i on i.indrelid = c.oid
      where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p')`;
    expect(firstColumns.filter(({ first }) => first !== 'shop_id')).toEqual([]);
    expect(new Set(firstColumns.filter((row) => row.primary).map((row) => row.table))).toEqual(new Set(tables));
    const foreign = await owner`
      select k.conname, a.attname as here, b.attname as there from pg_constraint k
      join pg_attribute a on a.attrelid = k.conrelid and a.attnum = k.conkey[1]
      join pg_attribute b on b.attrelid = k.confrelid and b.attnum = k.confkey[1]
      where k.contype = 'f' and k.connamespace = 'public'::regnamespace`;
    expect(foreign.length).toBeGreaterThanOrEqual(tables.length - 1);
    expect(foreign.filter(({ here, there }) => here !== 'shop_id' || there !== 'shop_id')).toEqual([]);
  });

  it('ties every table but the shop itself to a shop that exists', async () => {
    const tied = await owner`
      select distinct conrelid::regclass::text as name from pg_constraint
      where contype = 'f' and confrelid = 'shop'::regclass`;
    expect(tied.map((row) => row.name).sort()).toEqual(tables.filter((table) => table !== 'shop'));
  });
});

describe('contract: two shops with rows in every table', () => {
  it('has rows of both for the owner, so that the tests below mean something', async () => {
    for (const shopId of [ours, theirs]) {
      const wrong = await unlike(true, async (table) => {
        const rows = await owner`select from ${owner(table)} where shop_id = ${shopId}`;
        return rows.length > 0;
      });
      expect(wrong, 'add a row for a new table in fill-shop.ts').toEqual([]);
    }
  });

  it('shows a shop its own rows', async () => {
    expect(await unlike(1, (table) => touched(ours, `select from ${table}`) as Promise<number>)).toEqual([]);
  });

  it('shows it none of another shop, even when asked for by name', async () => {
    expect(await unlike(0, (t) => touched(ours, `select from ${t} where shop_id = $1`, [theirs]) as never)).toEqual([]);
  });

  it('lets it update and delete none of another shop', async () => {
    const immutable = ['estimate', 'job_version', 'job_confirmation'];
    for (const statement of ['update TABLE set shop_id = shop_id', 'delete from TABLE']) {
      const wrong = await unlike('none', async (table) => {
        const count = await touched(ours, `${statement.replace('TABLE', table)} where shop_id = $1`, [theirs]);
        return count === (immutable.includes(table) ? insufficientPrivilege : 0) ? 'none' : count;
      });
      expect(wrong).toEqual([]);
    }
  });

  it('lets it put no row into another shop, neither new nor moved there', async () => {
    const wrong = await unlike<string | number>(insufficientPrivilege, async (table) => {
      const [row] = await owner.unsafe(`select row_to_json(t)::text as row from ${table} t where shop_id = $1`, [
        theirs,
      ]);
      // A column that the database works out itself is given by nobody.
      const [given] = await owner`
        select string_agg(quote_ident(attname), ', ') as columns from pg_attribute
        where attrelid = ${table}::regclass and attnum > 0 and not attisdropped and attgenerated = ''`;
      const into = `insert into ${table} (${given?.columns}) select ${given?.columns}`;
      return touched(ours, `${into} from json_populate_record(null::${table}, $1)`, [row?.row]);
    });
    expect(wrong).toEqual([]);
    const moved = (table: string) => touched(ours, `update ${table} set shop_id = $1`, [theirs]);
    expect(await unlike<string | number>(insufficientPrivilege, moved)).toEqual([]);
  });

  it('shows no rows and takes none without a shop', async () => {
    const wrong = await unlike(0, async (table) => (await db.sql`select from ${db.sql(table)}`).length);
    expect(wrong).toEqual([]);
    await expect(db.sql`insert into technician (shop_id, key, name) values (${ours}, 'x', 'x')`).rejects.toMatchObject({
      code: insufficientPrivilege,
    });
    expect(await db.sql`update technician set name = 'x'`).toHaveLength(0);
  });

  it('tells across shops only who they are and their time zone', async () => {
    const rows = await db.sql`select * from shops_for_nightly()`;
    expect([...rows].sort((a, b) => a.shop_id.localeCompare(b.shop_id))).toEqual(
      [ours, theirs].sort().map((shop_id) => ({ shop_id, time_zone: 'Asia/Kathmandu' })),
    );
    const other = await owner`
      select proname from pg_proc where pronamespace = 'public'::regnamespace and prosecdef`;
    expect(other.map((row) => row.proname)).toEqual(['shops_for_nightly']);
  });
});

describe('contract: the role that the program works under', () => {
  it('is not the owner, owns nothing and is nobody else besides', async () => {
    const [who] = await db.sql`select current_user as role, session_user <> current_user as changed`;
    expect(who).toEqual({ role: 'secondpass_app', changed: true });
    const [role] = await owner`
      select rolsuper, rolbypassrls, rolcreatedb, rolcreaterole, rolcanlogin, rolreplication
      from pg_roles where rolname = 'secondpass_app'`;
    expect(new Set(Object.values(role ?? { none: true }))).toEqual(new Set([false]));
    const owned = await owner`select from pg_shdepend where refobjid = 'secondpass_app'::regrole and deptype = 'o'`;
    expect(owned).toHaveLength(0);
    const member = await owner`select from pg_auth_members where member = 'secondpass_app'::regrole`;
    expect(member).toHaveLength(0);
  });

  it('can make nothing and cannot look at the migrations', async () => {
    for (const statement of ['create table t ()', 'create schema s', 'alter table job no force row level security']) {
      await expect(db.sql.unsafe(statement)).rejects.toMatchObject({ code: insufficientPrivilege });
    }
    await expect(db.sql`select from drizzle.__drizzle_migrations`).rejects.toMatchObject({
      code: insufficientPrivilege,
    });
  });

  it('sees no more after saying what lets the owner see every shop', async () => {
    const rows = await db.sql.begin(async (sql) => {
      await sql`select set_config('app.every_shop', 'on', true)`;
      return sql`select from shop`;
    });
    expect(rows).toHaveLength(0);
  });
});

describe('contract: an owner who is no superuser', () => {
  it('migrates, works and sees rows only after saying so', async (context) => {
    const [me] = await owner`select rolsuper from pg_roles where rolname = current_user`;
    if (!me?.rolsuper) return context.skip('the owner of this run is no superuser: the tests above ran as one');
    const name = `${new URL(db.ownerUrl).pathname.slice(1)}_owner`;
    await owner.unsafe(`create role ${name} login createrole password 'invented'`);
    await owner.unsafe(`grant secondpass_app to ${name}`);
    const empty = await emptyDatabase();
    try {
      const url = new URL(empty.url);
      await owner.unsafe(`alter database ${url.pathname.slice(1)} owner to ${name}`);
      [url.username, url.password] = [name, 'invented'];
      await migrateDatabase(url.href);
      await asOther(url.href);
    } finally {
      await empty.drop();
      await owner.unsafe(`revoke secondpass_app from ${name} cascade`);
      await owner.unsafe(`drop role ${name}`);
    }
  });
});

async function asOther(ownerUrl: string): Promise<void> {
  const sql = postgres(ownerUrl, { max: 1 });
  const program = postgres(`${ownerUrl}?role=secondpass_app`, { max: 1 });
  try {
    await fillShop({ sql: program } as never, 'Third');
    expect(await sql`select from job`).toHaveLength(0);
    expect(await program`select * from shops_for_nightly()`).toHaveLength(1);
    await sql`select set_config('app.every_shop', 'on', false)`;
    expect(await sql`select from job`).toHaveLength(1);
  } finally {
    await sql.end();
    await program.end();
  }
}
