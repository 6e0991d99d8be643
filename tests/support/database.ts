import { randomBytes, randomUUID } from 'node:crypto';
import postgres from 'postgres';
import { inject } from 'vitest';
import type { Database } from '../../db/open.ts';
import { openDatabase } from '../../db/open.ts';
import { inShop, type ShopTransaction } from '../../src/store/shop-scope.ts';

export interface FreshDatabase extends Database {
  /** The run's server, as one who may create and drop databases there. */
  readonly adminUrl: string;
}

/** A migrated database of one's own, copied from the run's template; `close()` drops it. */
export async function freshDatabase(): Promise<FreshDatabase> {
  const { adminUrl, prefix } = inject('databaseServer');
  const empty = await emptyDatabase(`${prefix}_template`);
  const db = await openDatabase({ databaseUrl: empty.url, dataDir: '/nowhere' });
  return {
    ...db,
    adminUrl,
    close: async () => {
      await db.close();
      await empty.drop();
    },
  };
}

/** A database with nothing in it, not even tables, unless a template is named. */
export async function emptyDatabase(template = 'template0'): Promise<{ url: string; drop(): Promise<void> }> {
  const { adminUrl, prefix } = inject('databaseServer');
  const name = `${prefix}_${randomBytes(6).toString('hex')}`;
  await asAdmin(adminUrl, (admin) => admin`create database ${admin(name)} template ${admin(template)}`);
  const url = new URL(adminUrl);
  url.pathname = `/${name}`;
  return {
    url: url.href,
    drop: () => asAdmin(adminUrl, (admin) => admin`drop database if exists ${admin(name)} with (force)`),
  };
}

/** An invented shop with no settings, people, machines or records. */
export async function insertShop(db: Database, name = 'Invented shop', timeZone = 'Europe/London'): Promise<string> {
  const shopId = randomUUID();
  await inShop(db, shopId, (tx) => {
    return tx.sql`insert into shop (shop_id, name, time_zone, invented) values (${shopId}, ${name}, ${timeZone}, true)`;
  });
  return shopId;
}

/** Until another connection to this database waits for a lock that this transaction holds: some ten seconds, for a busy machine. */
export async function anotherWaits({ sql }: ShopTransaction): Promise<void> {
  for (let tries = 0; tries < 1000; tries++) {
    const [row] = await sql`
      select count(*)::int as n from pg_locks join pg_stat_activity using (pid)
      where not granted and datname = current_database()`;
    if (row?.n > 0) return;
    await sql`select pg_sleep(0.01)`;
  }
  throw new Error('nobody came to wait');
}

async function asAdmin(adminUrl: string, work: (admin: postgres.Sql) => Promise<unknown>): Promise<void> {
  const admin = postgres(adminUrl, { max: 1, onnotice: () => {} });
  try {
    await work(admin);
  } finally {
    await admin.end();
  }
}
