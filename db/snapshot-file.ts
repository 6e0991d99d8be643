/**
 * The file of a backup: gzip around frames, each a length of four bytes and so many bytes. A header comes first; then
 * for each table its name and columns, its rows as COPY text, and an empty frame; at the end the manifest. A file that
 * is cut off has no manifest, and gzip's own checksum tells one that is damaged.
 */
import { createReadStream } from 'node:fs';
import { open, rename, rm } from 'node:fs/promises';
import path from 'node:path';
import type { Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGunzip, createGzip } from 'node:zlib';
import { z } from 'zod';

export const header = z.object({
  format: z.literal('secondpass backup'),
  madeAt: z.iso.datetime(),
  migrations: z.array(z.string()).min(1),
});
export const tableStart = z.object({ table: z.string(), columns: z.array(z.string()).min(1) });
export const manifest = z.object({
  tables: z.array(z.object({ table: z.string(), rows: z.int().min(0), sha256: z.string().length(64) })),
});

export type Manifest = z.output<typeof manifest>;

const none = Buffer.alloc(0);
const largestFrame = 2 ** 30;

/** A file that is no whole backup. */
export class DamagedBackup extends Error {
  override name = 'DamagedBackup';
}

/** Writes the frames to the file, which appears under its name only when it is whole and on the disk. */
export async function writeFrames(file: string, frames: AsyncIterable<Buffer>): Promise<void> {
  const draft = `${file}.${process.pid}.partial`;
  const handle = await open(draft, 'w', 0o600);
  try {
    await compress(frames, handle.createWriteStream({ flush: true }));
    await rename(draft, file);
    await flushFolder(path.dirname(path.resolve(file)));
  } catch (error) {
    await rm(draft, { force: true });
    throw error;
  }
}

export const jsonFrame = (value: unknown): Buffer => Buffer.from(JSON.stringify(value));

export interface FrameReader {
  /** The next frame, empty where a table ends. */
  next(): Promise<Buffer>;
  /** Throws where anything follows. */
  end(): Promise<void>;
  json<T>(schema: z.ZodType<T>): Promise<T>;
}

/** Reads a file's frames; each call throws {@link DamagedBackup} where the file does not hold what it should. */
export async function readFrames<T>(file: string, read: (frames: FrameReader) => Promise<T>): Promise<T> {
  const chunks = plainChunks(file);
  try {
    return await read(frameReader(chunks));
  } catch (error) {
    if (!(error instanceof DamagedBackup) && !codeOf(error).startsWith('Z_')) throw error;
    throw new DamagedBackup(`${file} is no whole backup: ${(error as Error).message}`, { cause: error });
  } finally {
    await chunks.return();
  }
}

/** Nothing is opened before the first chunk is asked for, so every fault meets somebody who waits for it. */
async function* plainChunks(file: string): AsyncGenerator<Buffer, void, void> {
  const source = createReadStream(file);
  const plain = source.pipe(createGunzip());
  source.once('error', (error) => plain.destroy(error));
  try {
    yield* plain;
  } finally {
    source.destroy();
  }
}

function frameReader(chunks: AsyncIterator<Buffer, void, void>): FrameReader {
  let held: Buffer = none;
  async function take(length: number): Promise<Buffer> {
    const parts = [held];
    let have = held.length;
    while (have < length) {
      const { value, done } = await chunks.next();
      if (done) throw new DamagedBackup('it ends too early');
      parts.push(value);
      have += value.length;
    }
    const all = parts.length === 1 ? held : Buffer.concat(parts, have);
    held = all.subarray(length);
    return all.subarray(0, length);
  }
  async function next(): Promise<Buffer> {
    const length = (await take(4)).readUInt32BE();
    if (length > largestFrame) throw new DamagedBackup('a part of it claims an impossible length');
    return take(length);
  }
  return {
    next,
    end: async () => {
      if (held.length > 0 || !(await chunks.next()).done) throw new DamagedBackup('something follows its end');
    },
    json: async (schema) => parseFrame(schema, await next()),
  };
}

function parseFrame<T>(schema: z.ZodType<T>, frame: Buffer): T {
  try {
    return schema.parse(JSON.parse(frame.toString()));
  } catch (cause) {
    throw new DamagedBackup('a part of it is not what should stand there', { cause });
  }
}

/** Unlike a pipeline around all of it, this waits until the frames' source has let go before it tells of a full disk. */
async function compress(frames: AsyncIterable<Buffer>, output: Writable): Promise<void> {
  const gzip = createGzip();
  const written = pipeline(gzip, output);
  const feed = async () => {
    for await (const frame of prefixed(frames)) await Promise.race([written, writeTo(gzip, frame)]);
    gzip.end();
    await written;
  };
  const fed = feed().catch((error: Error) => {
    gzip.destroy(error);
    throw error;
  });
  await Promise.allSettled([written, fed]);
  await fed;
}

const writeTo = (stream: Writable, chunk: Buffer): Promise<void> =>
  new Promise((resolve, reject) => stream.write(chunk, (error) => (error ? reject(error) : resolve())));

async function* prefixed(frames: AsyncIterable<Buffer>): AsyncIterable<Buffer> {
  for await (const frame of frames) {
    const length = Buffer.alloc(4);
    length.writeUInt32BE(frame.length);
    yield Buffer.concat([length, frame]);
  }
}

/** The name itself has to reach the disk too. */
async function flushFolder(folder: string): Promise<void> {
  const handle = await open(folder, 'r');
  await handle.sync();
  await handle.close();
}

const codeOf = (error: unknown): string => String((error as { code?: unknown }).code ?? '');
