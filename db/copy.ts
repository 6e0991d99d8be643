/**
 * COPY through postgres.js, around three ways in which its streams can wait for ever: a socket left paused where the
 * last rows came while the reader was busy; one left paused where the reader gives up; and an error that the server
 * tells only after the last row was sent (a foreign key, say), of which the stream hears nothing.
 */
import { pipeline } from 'node:stream/promises';
import type { TransactionSql } from 'postgres';

/**
 * The rows of `copy … to stdout`, 64 kB or more at a time. A reader who stops early pays for reading the rest, and has
 * to wait for it (as `for await` does, but a pipeline that fails does not).
 */
export async function* copyOut(sql: TransactionSql, statement: string): AsyncGenerator<Buffer, void, void> {
  const stream = await sql.unsafe(statement).readable();
  const rows = stream.iterator({ destroyOnReturn: false }) as AsyncIterable<Buffer>;
  try {
    yield* gathered(rows);
  } finally {
    for await (const _ of stream.iterator({ destroyOnReturn: false }));
    stream._read(0);
  }
}

/** Sends COPY text to `copy … from stdin`, and resolves when the server has taken it all. */
export async function copyIn(sql: TransactionSql, statement: string, chunks: AsyncIterable<Buffer>): Promise<void> {
  const stream = await sql.unsafe(statement).writable();
  const finish = stream._final.bind(stream);
  stream._final = (callback) => {
    finish(callback);
    // Answered only after the COPY itself: refused where that one was, since the transaction is then broken.
    sql`select 1`.catch((error) => stream.destroy(error));
  };
  await pipeline(chunks, stream);
}

async function* gathered(chunks: AsyncIterable<Buffer>): AsyncIterable<Buffer> {
  let held: Buffer[] = [];
  let size = 0;
  for await (const chunk of chunks) {
    held.push(chunk);
    size += chunk.length;
    if (size < 65_536) continue;
    yield Buffer.concat(held);
    held = [];
    size = 0;
  }
  if (size > 0) yield Buffer.concat(held);
}
