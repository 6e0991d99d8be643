import { type FileHandle, mkdtemp, open, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { throughDisk } from '../../src/http/body-disk.ts';

afterEach(() => vi.restoreAllMocks());

async function* sent() {
  yield Buffer.from('ref,area\n');
  yield Buffer.from('1,cargo\n');
}

/** What stands on the disk in the end, as it is read again. */
async function kept(): Promise<string> {
  const read: Buffer[] = [];
  for await (const piece of throughDisk(sent(), (again) => again())) read.push(piece);
  return Buffer.concat(read).toString();
}

/** Every file's own `write` puts down half of what it is given, as it may on a disk that is nearly full. */
async function writeByHalves(): Promise<void> {
  const folder = await mkdtemp(path.join(tmpdir(), 'secondpass-test-'));
  const file = await open(path.join(folder, 'any'), 'w');
  const handle: FileHandle = Object.getPrototypeOf(file);
  const { write } = file;
  vi.spyOn(handle, 'write').mockImplementation(function (this: FileHandle, data: unknown) {
    return write.call(this, (data as Buffer).subarray(0, (data as Buffer).length / 2) as never) as never;
  });
  await file.close();
  await rm(folder, { recursive: true });
}

describe('contract: a body put down on disk', () => {
  it('is read again as it came', async () => {
    expect(await kept()).toBe('ref,area\n1,cargo\n');
  });

  it('is whole, also where the disk takes it in parts', async () => {
    await writeByHalves();
    expect(await kept()).toBe('ref,area\n1,cargo\n');
  });
});
