import { Readable } from 'node:stream';
import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { copyIn, copyOut } from '../../db/copy.ts';
import { emptyDatabase } from '../support/database.ts';

let database: Awaited<ReturnType<typeof emptyDatabase>>;
let sql: postgres.Sql;
beforeAll(async () => {
  database = await emptyDatabase();
  sql = postgres(database.url, { max: 1 });
  await sql`create table parent (id int primary key)`;
  await sql`create table child (id int references parent)`;
  await sql`insert into parent values (1)`;
});
afterAll(async () => {
  await sql?.end();
  await database?.drop();
});

const many = `copy (select repeat('x', 100) from generate_series(1, 200000)) to stdout`;
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

describe('contract: COPY leaves its connection in use', () => {
  it('hands out every byte to a slow reader, never holding much of it', async () => {
    const sizes = await sql.begin(async (tx) => {
      const seen: number[] = [];
      for await (const chunk of copyOut(tx, many)) {
        if (seen.length % 50 === 0) await pause(20);
        seen.push(chunk.length);
      }
      await tx`select 1`;
      return seen;
    });
    expect(sizes.reduce((a, b) => a + b)).toBe(200_000 * 101);
    expect(Math.max(...sizes)).toBeLessThan(500_000);
  });

  it('goes on after a reader who stopped early or broke', async () => {
    const answer = await sql.begin(async (tx) => {
      for await (const _ of copyOut(tx, many)) break;
      const breaking = async () => {
        for await (const _ of copyOut(tx, many)) throw new Error('no space left');
      };
      await expect(breaking()).rejects.toThrow('no space left');
      return tx`select 1 as one`;
    });
    expect([...answer]).toEqual([{ one: 1 }]);
  });

  it('tells of rows that the server refuses, while they come or after the last', async () => {
    const refused = async (rows: readonly string[]) => {
      const chunks = rows.map((row) => Buffer.from(row));
      return sql.begin((tx) => copyIn(tx, 'copy child (id) from stdin', Readable.from(chunks)));
    };
    await expect(refused(['1\n', '2\n'])).rejects.toThrow();
    await expect(refused(['no number\n', ...Array.from({ length: 5000 }, () => '1\n'.repeat(1000))])).rejects.toThrow();
    await expect(refused(['no number\n'])).rejects.toThrow();
    await refused(['1\n', '1\n']);
    expect(await sql`select from child`).toHaveLength(2);
  });

  it('takes nothing where the source of the rows breaks', async () => {
    async function* breaking() {
      yield Buffer.from('1\n');
      throw new Error('the file ended');
    }
    const before = await sql`select from child`;
    const broken = sql.begin((tx) => copyIn(tx, 'copy child (id) from stdin', breaking()));
    await expect(broken).rejects.toThrow('the file ended');
    expect(await sql`select from child`).toHaveLength(before.length);
  });
});
