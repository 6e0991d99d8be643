import type { PostgresJsDatabase } from 'drizzle-orm/postgres-js';
import { drizzle } from 'drizzle-orm/postgres-js';
import type { Sql, TransactionSql } from 'postgres';
import type { Database } from '../../db/open.ts';

export type { Database };

/** One transaction that sees one shop: plain SQL for what is hot, drizzle for the rest, on the same connection. */
export interface ShopTransaction {
  readonly shopId: string;
  readonly sql: TransactionSql;
  readonly orm: PostgresJsDatabase;
}

/**
 * Runs the work in a transaction that sees and writes the rows of this shop alone. The shop is named on the same
 * connection just ahead of the work's first query, without waiting for the answer: queries keep their order there, and
 * if naming the shop fails, so does the transaction.
 */
export async function inShop<T>(
  db: Pick<Database, 'sql'>,
  shopId: string,
  work: (tx: ShopTransaction) => Promise<T>,
): Promise<T> {
  const result = await db.sql.begin(async (sql) => {
    const named = sql`select set_config('app.shop_id', ${shopId}, true)`.execute();
    const [, worked] = await Promise.all([named, work(transaction(db.sql, sql, shopId))]);
    return { worked };
  });
  return result.worked;
}

function transaction(pool: Sql, sql: TransactionSql, shopId: string): ShopTransaction {
  let orm: PostgresJsDatabase | undefined;
  return {
    shopId,
    sql,
    get orm() {
      orm ??= drizzle(withOptions(sql, pool));
      return orm;
    },
  };
}

/** drizzle asks its client for the pool's options, which postgres.js does not hand on to a transaction, and changes them: it gets a copy. */
function withOptions(sql: TransactionSql, pool: Sql): Sql {
  const options = copied.get(pool) ?? copyOf(pool.options);
  copied.set(pool, options);
  return Object.assign(sql, { options }) as unknown as Sql;
}

const copied = new WeakMap<Sql, Sql['options']>();

function copyOf(options: Sql['options']): Sql['options'] {
  return { ...options, parsers: { ...options.parsers }, serializers: { ...options.serializers } };
}
