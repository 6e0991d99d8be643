/** One consistent picture of all tables into a file, and back into an empty database. */
import postgres from 'postgres';
import { appliedMigrations } from './migrate.ts';
import type { FrameReader, Manifest } from './snapshot-file.ts';
import { DamagedBackup, header, jsonFrame, manifest, readFrames, tableStart, writeFrames } from './snapshot-file.ts';
import type { Table } from './snapshot-tables.ts';
import { listTables, quote, readRows, seeEverythingAlike, tally, writeRows } from './snapshot-tables.ts';

type Sql = postgres.TransactionSql;

/** Writes everything as it stands at one moment, while others go on writing. */
export async function writeSnapshot(ownerUrl: string, file: string): Promise<Manifest> {
  const written: Manifest = { tables: [] };
  await asOwner(ownerUrl, 'isolation level repeatable read read only', async (sql) => {
    const tables = await listTables(sql);
    if (tables.length === 0) throw new Error('there is nothing to back up: the database has no tables');
    await writeFrames(file, snapshotFrames(sql, tables, written));
  });
  return written;
}

/** Brings a snapshot into an empty database of the same version, all or nothing; counts and digests are compared. */
export async function restoreSnapshot(ownerUrl: string, file: string): Promise<Manifest> {
  return readFrames(file, (frames) => asOwner(ownerUrl, 'isolation level read committed', (sql) => load(sql, frames)));
}

async function* snapshotFrames(sql: Sql, tables: readonly Table[], written: Manifest): AsyncIterable<Buffer> {
  const [row] = await sql`select to_char(now() at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS"Z"') as "madeAt"`;
  const migrations = await appliedMigrations(sql);
  yield jsonFrame({ format: 'secondpass backup', madeAt: row?.madeAt, migrations });
  for (const table of tables) {
    yield jsonFrame({ table: table.name, columns: table.columns });
    const tallied = tally();
    for await (const chunk of readRows(sql, table)) {
      tallied.add(chunk);
      yield chunk;
    }
    yield Buffer.alloc(0);
    written.tables.push({ table: table.name, ...tallied.result() });
  }
  yield jsonFrame(written);
}

async function load(sql: Sql, frames: FrameReader): Promise<Manifest> {
  const { migrations } = await frames.json(header);
  if (JSON.stringify(migrations) !== JSON.stringify(await appliedMigrations(sql))) {
    throw new Error('the backup is of another version of the program: restore it with that one, then start this one');
  }
  const tables = await listTables(sql);
  await takeOver(sql, tables);
  for (const table of tables) await loadTable(sql, table, frames);
  const expected = await frames.json(manifest);
  await frames.end();
  for (const table of tables) await compare(sql, table, expected);
  for (const { name } of tables) await sql.unsafe(`alter table public.${quote(name)} force row level security`);
  return expected;
}

/** COPY into a table needs row-level security off for the owner; altering also keeps everyone else out until the end. */
async function takeOver(sql: Sql, tables: readonly Table[]): Promise<void> {
  for (const { name } of tables) {
    await sql.unsafe(`alter table public.${quote(name)} no force row level security`);
    const rows = await sql.unsafe(`select from public.${quote(name)} limit 1`);
    if (rows.length > 0) throw new Error(`the database is not empty: ${name} has rows; restore into a new one`);
  }
}

async function loadTable(sql: Sql, table: Table, frames: FrameReader): Promise<void> {
  const start = await frames.json(tableStart);
  if (start.table !== table.name || start.columns.join() !== table.columns.join()) {
    throw new DamagedBackup(`it holds ${start.table} where ${table.name} should stand`);
  }
  await writeRows(sql, table, untilEmpty(frames));
}

async function* untilEmpty(frames: FrameReader): AsyncIterable<Buffer> {
  for (let frame = await frames.next(); frame.length > 0; frame = await frames.next()) yield frame;
}

/** Reads back what now stands in the table: the digest is of the rows themselves, not of the file. */
async function compare(sql: Sql, table: Table, expected: Manifest): Promise<void> {
  const tallied = tally();
  for await (const chunk of readRows(sql, table)) tallied.add(chunk);
  const { rows, sha256 } = tallied.result();
  const wanted = expected.tables.find((entry) => entry.table === table.name);
  if (wanted?.rows === rows && wanted.sha256 === sha256) return;
  throw new DamagedBackup(
    `${table.name} came out with ${rows} rows and another digest than its ${wanted?.rows} rows had`,
  );
}

async function asOwner<T>(ownerUrl: string, mode: string, work: (sql: Sql) => Promise<T>): Promise<T> {
  const sql = postgres(ownerUrl, { max: 1, onnotice: () => {} });
  try {
    const done = await sql.begin(mode, async (tx) => {
      await seeEverythingAlike(tx);
      return { result: await work(tx) };
    });
    return done.result;
  } finally {
    await sql.end();
  }
}
