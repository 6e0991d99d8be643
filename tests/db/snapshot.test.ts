import { randomUUID } from 'node:crypto';
import { mkdtemp, readdir, readFile, rm, stat, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { migrateDatabase } from '../../db/migrate.ts';
import { openDatabase } from '../../db/open.ts';
import { restoreSnapshot, writeSnapshot } from '../../db/snapshot.ts';
import { writeFrames } from '../../db/snapshot-file.ts';
import { createKey, verifyKey } from '../../src/store/keys.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import type { FreshDatabase } from '../support/database.ts';
import { emptyDatabase, freshDatabase } from '../support/database.ts';
import { fillShop } from './fill-shop.ts';

let db: FreshDatabase;
let folder: string;
let file: string;
let shopId: string;
let key: string;

beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'secondpass-backup-'));
  file = path.join(folder, 'backup');
  db = await freshDatabase();
  shopId = await fillShop(db, 'One');
  await fillShop(db, 'Two');
  key = (await inShop(db, shopId, (tx) => createKey(tx, { role: 'owner', label: 'kept' }))).text;
  await writeSnapshot(db.ownerUrl, file);
});
afterAll(async () => {
  await db?.close();
  if (folder) await rm(folder, { recursive: true });
});

/** Every row of every table as PostgreSQL writes it, under whatever shop. */
async function everything(ownerUrl: string): Promise<Record<string, string[]>> {
  const sql = postgres(ownerUrl, { max: 1, connection: { 'app.every_shop': 'on', timezone: 'UTC' } });
  try {
    const tables = await sql`select relname as name from pg_class
      where relnamespace = 'public'::regnamespace and relkind in ('r', 'p') order by 1`;
    const rows = await Promise.all(tables.map(({ name }) => sql`select t::text as row from ${sql(name)} t`));
    return Object.fromEntries(tables.map(({ name }, at) => [name, (rows[at] ?? []).map(({ row }) => row).sort()]));
  } finally {
    await sql.end();
  }
}

/** A migrated database without rows. */
async function emptyTables() {
  const empty = await emptyDatabase();
  await migrateDatabase(empty.url);
  return empty;
}

describe('contract: backup and restore', () => {
  it('brings every row of every table into an empty database, on the same kind of server', async () => {
    const before = await everything(db.ownerUrl);
    expect(Object.values(before).every((rows) => rows.length >= 2)).toBe(true);
    const target = await emptyTables();
    const { tables } = await restoreSnapshot(target.url, file);
    expect(await everything(target.url)).toEqual(before);
    expect(tables.map(({ table, rows }) => [table, rows]).sort()).toEqual(
      Object.entries(before).map(([table, rows]) => [table, rows.length]),
    );
    await target.drop();
  });

  it('goes from the server of this run to an embedded one and back, keys staying good', async () => {
    const embedded = await openDatabase({ dataDir: path.join(folder, 'embedded') });
    const back = await emptyTables();
    try {
      await restoreSnapshot(embedded.ownerUrl, file);
      expect(await verifyKey(embedded, key)).toMatchObject({ shopId, role: 'owner', timeZone: 'Asia/Kathmandu' });
      const second = path.join(folder, 'second');
      await writeSnapshot(embedded.ownerUrl, second);
      await restoreSnapshot(back.url, second);
      expect(await everything(back.url)).toEqual(await everything(db.ownerUrl));
    } finally {
      await embedded.close();
      await back.drop();
    }
  });

  it('misses nothing that the catalogue holds beside the tables', async () => {
    const sql = postgres(db.ownerUrl, { max: 1 });
    const others = await sql`select relname, relkind from pg_class
      where relnamespace = 'public'::regnamespace and relkind not in ('r', 'i', 'p', 'I')`;
    await sql.end();
    expect([...others], 'a sequence or the like has a state that COPY of the tables does not carry').toEqual([]);
  });

  it('takes in a large table made after the program was written, and tells of a full disk', async () => {
    const [source, target] = [await emptyTables(), await emptyTables()];
    for (const { url } of [source, target]) {
      const sql = postgres(url, { max: 1 });
      await sql`create table later (shop_id uuid references shop, n int, twice int generated always as (n * 2) stored,
        primary key (shop_id, n))`;
      await sql`alter table later enable row level security`;
      await sql`alter table later force row level security`;
      await sql`create policy owner_sees_every_shop on later to current_user
        using (current_setting('app.every_shop', true) = 'on')`;
      if (url === source.url) {
        await sql`select set_config('app.every_shop', 'on', false)`;
        await sql`insert into shop (shop_id, name, time_zone) values (${shopId}, 'x', 'UTC')`;
        await sql`insert into later (shop_id, n) select ${shopId}, n from generate_series(1, 100000) n`;
      }
      await sql.end();
    }
    const other = path.join(folder, 'later');
    await symlink('/dev/full', `${other}.${process.pid}.partial`);
    await expect(writeSnapshot(source.url, other), 'a full disk is told, not waited for').rejects.toThrow('ENOSPC');
    await writeSnapshot(source.url, other);
    await restoreSnapshot(target.url, other);
    expect((await everything(target.url)).later).toHaveLength(100_000);
    expect(await everything(target.url)).toEqual(await everything(source.url));
    await source.drop();
    await target.drop();
  });

  it('leaves row security forced', async () => {
    const target = await emptyTables();
    await restoreSnapshot(target.url, file);
    const sql = postgres(target.url, { max: 1 });
    const loose = await sql`select relname from pg_class
      where relnamespace = 'public'::regnamespace and relkind = 'r' and not (relrowsecurity and relforcerowsecurity)`;
    await sql.end();
    expect([...loose]).toEqual([]);
    await target.drop();
  });

  it('is a picture of one moment while others write to two tables at once', async () => {
    let writing = true;
    let written = 0;
    const writer = async () => {
      while (writing) {
        const [ref, hash] = [randomUUID(), Buffer.alloc(32)];
        await inShop(db, shopId, async ({ sql }) => {
          await sql`insert into job values (${shopId}, ${ref}, 2, now(), '{}', ${hash})`;
          await sql`insert into job_version values (${shopId}, ${ref}, 1, '{}', ${hash}, now(), 'replaced')`;
        });
        written += 1;
      }
    };
    const writers = [writer(), writer()];
    const target = await emptyTables();
    const other = path.join(folder, 'moving');
    const atStart = written;
    await writeSnapshot(db.ownerUrl, other);
    const atEnd = written;
    writing = false;
    await Promise.all(writers);
    expect(atEnd).toBeGreaterThan(atStart);
    await restoreSnapshot(target.url, other);
    const { job = [], job_version = [] } = await everything(target.url);
    expect(job.length).toBe(job_version.length);
    expect(job.length).toBeGreaterThanOrEqual(2);
    await target.drop();
  });
});

describe('contract: what restore refuses, leaving the database empty', () => {
  const rowsIn = async (url: string) => Object.values(await everything(url)).flat().length;

  it('a database with rows in it', async () => {
    await expect(restoreSnapshot(db.ownerUrl, file)).rejects.toThrow('the database is not empty');
  });

  it('a file cut off, changed anywhere, longer than it should be, or of another kind', async () => {
    const whole = await readFile(file);
    const flipped = (at: number) => {
      const copy = Buffer.from(whole);
      copy.writeUInt8(copy.readUInt8(at) ^ 0x10, at);
      return copy;
    };
    const places = [1, 12, 200, whole.length >> 1, whole.length - 300, whole.length - 6, whole.length - 1];
    const cuts = [0, 5, whole.length >> 1, whole.length - 1];
    const bad = [
      ...places.map(flipped),
      ...cuts.map((length) => whole.subarray(0, length)),
      gzipSync(Buffer.concat([gunzipSync(whole), Buffer.from('more')])),
      gzipSync('{"format":"another"}'),
      Buffer.from('no gzip at all'),
    ];
    const target = await emptyTables();
    const damaged = path.join(folder, 'damaged');
    for (const bytes of bad) {
      await writeFile(damaged, bytes);
      await expect(restoreSnapshot(target.url, damaged)).rejects.toThrow('is no whole backup');
    }
    expect(await rowsIn(target.url)).toBe(0);
    await target.drop();
  });

  it('a file whose rows were changed and packed again with a good checksum', async () => {
    const plain = gunzipSync(await readFile(file));
    const at = plain.indexOf('Asia/Kathmandu');
    plain.write('Asia/Kathmandx', at);
    const forged = path.join(folder, 'forged');
    await writeFile(forged, gzipSync(plain));
    const target = await emptyTables();
    await expect(restoreSnapshot(target.url, forged)).rejects.toThrow(/shop came out with 2 rows and another digest/);
    expect(await rowsIn(target.url)).toBe(0);
    await target.drop();
  });

  it('a backup of tables in another version', async () => {
    const target = await emptyTables();
    const sql = postgres(target.url, { max: 1 });
    await sql`update drizzle.__drizzle_migrations set hash = 'another' where id = 1`;
    await sql.end();
    await expect(restoreSnapshot(target.url, file)).rejects.toThrow('of another version of the program');
    expect(await rowsIn(target.url)).toBe(0);
    await target.drop();
  });

  it('a file that is not there, by its name', async () => {
    const target = await emptyTables();
    await expect(restoreSnapshot(target.url, path.join(folder, 'absent'))).rejects.toThrow(/ENOENT.*absent/);
    await target.drop();
  });
});

describe('contract: the file of a backup', () => {
  it('replaces a former one only when it is whole, and leaves no draft behind', async () => {
    const place = await mkdtemp(path.join(folder, 'place-'));
    const former = path.join(place, 'backup');
    await writeFile(former, 'the former one');
    async function* breaking() {
      yield Buffer.alloc(100_000, 1);
      throw new Error('the database went away');
    }
    await expect(writeFrames(former, breaking())).rejects.toThrow('the database went away');
    expect(await readFile(former, 'utf8')).toBe('the former one');
    await writeSnapshot(db.ownerUrl, former);
    expect(await readdir(place)).toEqual(['backup']);
    expect((await stat(former)).mode & 0o077, 'it holds the hashes of keys').toBe(0);
  });

  it('is not written where there is nothing to back up', async () => {
    const nothing = await emptyDatabase();
    await expect(writeSnapshot(nothing.url, path.join(folder, 'nothing'))).rejects.toThrow('nothing to back up');
    expect(await readdir(folder)).not.toContain('nothing');
    await nothing.drop();
  });
});
