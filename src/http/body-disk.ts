import { createReadStream } from 'node:fs';
import { mkdtemp, open, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';

/**
 * What `read` makes of a body that was put down on disk whole before the first of it is looked at, so that it can be
 * read more than once, and in the time of the disk and not of the client. The file goes when the reading ends.
 */
export async function* throughDisk<T>(
  chunks: AsyncIterable<Buffer>,
  read: (again: () => AsyncIterable<Buffer>) => AsyncIterable<T>,
): AsyncGenerator<T> {
  const folder = await mkdtemp(path.join(tmpdir(), 'secondpass-upload-'));
  try {
    const file = path.join(folder, 'upload');
    await putDown(chunks, file);
    yield* read(() => createReadStream(file, { highWaterMark: pieceSize }));
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

const pieceSize = 256 * 1024;

async function putDown(chunks: AsyncIterable<Buffer>, path: string): Promise<void> {
  const file = await open(path, 'wx', 0o600);
  try {
    // Not `write`: on a disk that is nearly full it puts down a part and says so only in what it returns.
    for await (const chunk of chunks) await file.appendFile(chunk);
  } finally {
    await file.close();
  }
}
