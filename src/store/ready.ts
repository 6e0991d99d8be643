import { getTableName, is } from 'drizzle-orm';
import { PgTable } from 'drizzle-orm/pg-core';
import * as schema from '../../db/schema.ts';
import type { Database } from './shop-scope.ts';

/** Throws where the database cannot be reached, or lacks a table that this program knows. */
export async function checkReady(db: Database): Promise<void> {
  const missing = await db.sql<{ name: string }[]>`
    select name from unnest(${tableNames}::text[]) as name where to_regclass(quote_ident(name)) is null`;
  if (missing.length > 0) throw new Error(`tables missing: ${missing.map((row) => row.name).join(', ')}`);
}

const tableNames = Object.values(schema).flatMap((one) => (is(one, PgTable) ? [getTableName(one)] : []));
