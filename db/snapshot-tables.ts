/** The program's tables as the catalogue tells them, so that a new one is in the backup without being named here. */
import { createHash } from 'node:crypto';
import type { TransactionSql } from 'postgres';
import { copyIn, copyOut } from './copy.ts';

export interface Table {
  readonly name: string;
  readonly columns: readonly string[];
  readonly key: readonly string[];
}

/** All tables, each after those that its foreign keys point to. */
export async function listTables(sql: TransactionSql): Promise<Table[]> {
  const tables = await sql<(Table & { needs: string[] })[]>`
    select c.relname as name,
      array(select attname::text from pg_attribute
        where attrelid = c.oid and attnum > 0 and not attisdropped and attgenerated = '' order by attnum) as columns,
      array(select a.attname::text from pg_index i, unnest(i.indkey) with ordinality as k (attnum, place)
        join pg_attribute a on a.attnum = k.attnum
        where i.indrelid = c.oid and i.indisprimary and a.attrelid = c.oid order by k.place) as key,
      array(select distinct confrelid::regclass::text from pg_constraint
        where conrelid = c.oid and contype = 'f' and confrelid <> c.oid) as needs
    from pg_class c
    where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p') and not c.relispartition
    order by c.relname`;
  const sorted: Table[] = [];
  let waiting = [...tables];
  while (waiting.length > 0) {
    const ready = waiting.filter((table) => table.needs.every((need) => sorted.some(({ name }) => name === need)));
    if (ready.length === 0) throw new Error(`foreign keys go round in a circle: ${waiting.map((t) => t.name)}`);
    sorted.push(...ready.map(({ name, columns, key }) => ({ name, columns, key })));
    waiting = waiting.filter((table) => !ready.includes(table));
  }
  return sorted;
}

/** Whoever owns the tables sees all shops in this transaction, and values are written alike by every server. */
export async function seeEverythingAlike(sql: TransactionSql): Promise<void> {
  await sql`select set_config('app.every_shop', 'on', true), set_config('timezone', 'UTC', true),
    set_config('datestyle', 'ISO', true), set_config('intervalstyle', 'iso_8601', true),
    set_config('extra_float_digits', '1', true), set_config('bytea_output', 'hex', true),
    set_config('client_encoding', 'UTF8', true)`;
}

/** Reads the rows as COPY text in the order of the key's bytes, which no server's collation changes. */
export function readRows(sql: TransactionSql, table: Table): AsyncIterable<Buffer> {
  const order = table.key.map((column) => `${quote(column)}::text collate "C"`);
  const rows = `select ${list(table.columns)} from public.${quote(table.name)} order by ${order}`;
  return copyOut(sql, `copy (${rows}) to stdout`);
}

/** Writes rows of COPY text into the table. */
export function writeRows(sql: TransactionSql, { name, columns }: Table, rows: AsyncIterable<Buffer>): Promise<void> {
  return copyIn(sql, `copy public.${quote(name)} (${list(columns)}) from stdin`, rows);
}

/** Counts the rows of COPY text and digests it as it passes. */
export function tally() {
  const hash = createHash('sha256');
  let rows = 0;
  return {
    add: (chunk: Buffer) => {
      hash.update(chunk);
      // COPY text has one line feed a row: those inside values are written as \n.
      for (const byte of chunk) if (byte === 10) rows += 1;
    },
    result: () => ({ rows, sha256: hash.digest('hex') }),
  };
}

export const quote = (name: string): string => `"${name.replaceAll('"', '""')}"`;
const list = (names: readonly string[]): string => names.map(quote).join(', ');
