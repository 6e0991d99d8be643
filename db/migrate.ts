/** Brings a database to the state that this program's migrations describe. Forward only. */
import { fileURLToPath } from 'node:url';
import { readMigrationFiles } from 'drizzle-orm/migrator';
import { drizzle } from 'drizzle-orm/postgres-js';
import { migrate } from 'drizzle-orm/postgres-js/migrator';
import postgres from 'postgres';

const migrationsFolder = fileURLToPath(new URL('./migrations', import.meta.url));
const lockKey = 7_327_111;

/** Runs as the owner, one program at a time: several may start at once on the same server. */
export async function migrateDatabase(ownerUrl: string): Promise<void> {
  const sql = postgres(ownerUrl, { max: 1, onnotice: () => {} });
  try {
    await checkServerVersion(sql);
    await sql`select pg_advisory_lock(${lockKey})`;
    await migrate(drizzle(sql), { migrationsFolder }).catch(tellCause);
    await checkNotNewer(sql);
  } finally {
    await sql.end();
  }
}

/** The hash of each migration that the database has gone through, in order. */
export async function appliedMigrations(sql: postgres.Sql | postgres.TransactionSql): Promise<string[]> {
  const rows = await sql<{ hash: string }[]>`select hash from drizzle.__drizzle_migrations order by created_at`;
  return rows.map((row) => row.hash);
}

/** What drizzle throws shows the whole statement and hides what was wrong with it. */
function tellCause(error: Error): never {
  const cause = error.cause instanceof Error ? error.cause.message : error.message;
  throw new Error(`the tables could not be brought up to date: ${cause}`, { cause: error });
}

async function checkServerVersion(sql: postgres.Sql): Promise<void> {
  const [row] = await sql`select current_setting('server_version_num')::int as number`;
  if (row && row.number >= 150_000) return;
  throw new Error(`the database server is PostgreSQL ${Math.floor(row?.number / 10_000)}: 15 or later is needed`);
}

async function checkNotNewer(sql: postgres.Sql): Promise<void> {
  const applied = await appliedMigrations(sql);
  const known = readMigrationFiles({ migrationsFolder }).map((migration) => migration.hash);
  if (applied.every((hash, position) => hash === known[position])) return;
  throw new Error('the database was migrated by a newer version of this program: start that one instead');
}
