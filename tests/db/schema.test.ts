import { is } from 'drizzle-orm';
import { getTableConfig, PgTable } from 'drizzle-orm/pg-core';
import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import * as schema from '../../db/schema.ts';
import { grades, roles } from '../../src/domain/vocabulary.ts';
import type { FreshDatabase } from '../support/database.ts';
import { freshDatabase } from '../support/database.ts';

let db: FreshDatabase;
let owner: postgres.Sql;
beforeAll(async () => {
  db = await freshDatabase();
  owner = postgres(db.ownerUrl, { max: 1 });
});
afterAll(async () => {
  await owner?.end();
  await db?.close();
});

const tables = Object.values(schema)
  .filter((value) => is(value, PgTable))
  .map(getTableConfig);

describe('contract: what the migrations really make', () => {
  it('is the tables and columns of the schema, with their types, and what must be there', async () => {
    const real = await owner`
      select c.relname || '.' || a.attname || ' ' || format_type(a.atttypid, a.atttypmod)
        || case when a.attnotnull then ' not null' else '' end as column
      from pg_class c join pg_attribute a on a.attrelid = c.oid
      where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attnum > 0 and not a.attisdropped`;
    const told = tables.flatMap(({ name, columns }) =>
      columns.map((column) => {
        const required = column.notNull || column.primary ? ' not null' : '';
        return `${name}.${column.name} ${column.getSQLType()}${required}`;
      }),
    );
    expect(real.map((row) => row.column).sort()).toEqual(told.sort());
  });

  it('is the indexes, checks and foreign keys of the schema, by name', async () => {
    const real = await owner`
      select relname as name from pg_class where relnamespace = 'public'::regnamespace and relkind = 'i'
        and oid not in (select conindid from pg_constraint where contype = 'p')
      union all
      select conname from pg_constraint where connamespace = 'public'::regnamespace and contype in ('c', 'f')`;
    const told = tables.flatMap(({ indexes, checks, foreignKeys }) => [
      ...indexes.map((index) => index.config.name),
      ...checks.map((check) => check.name),
      ...foreignKeys.map((key) => key.getName()),
    ]);
    expect(real.map((row) => row.name).sort()).toEqual(told.sort());
  });

  it('knows the same roles and grades as the trade’s lists', () => {
    expect([...schema.apiKey.role.enumValues].sort()).toEqual([...roles].sort());
    expect([...schema.machine.grade.enumValues].sort()).toEqual([...grades].sort());
  });

  it('takes no word that is in none of its lists', async () => {
    const checked = await owner`
      select conname, pg_get_constraintdef(oid) as rule from pg_constraint
      where contype = 'c' and connamespace = 'public'::regnamespace and pg_get_constraintdef(oid) like '%ANY%'`;
    const rules = Object.fromEntries(checked.map((row) => [row.conname, row.rule]));
    const listed = Object.entries({
      fit_status: schema.fitStatuses,
      nightly_run_status: schema.nightStatuses,
      job_version_reason: schema.versionReasons,
      api_key_role: roles,
      machine_grade: grades,
    });
    for (const [name, words] of listed) {
      const inRule = String(rules[name])
        .match(/'([a-z-]+)'/g)
        ?.map((word) => word.slice(1, -1));
      expect(inRule?.sort(), name).toEqual([...words].sort());
    }
  });
});
