import { execFile } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Database } from '../../db/open.ts';
import { openDatabase } from '../../db/open.ts';
import { verifyKey } from '../../src/store/keys.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
let folder: string;
let running: Database;

beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'secondpass-commands-'));
  running = await openDatabase({ dataDir: path.join(folder, 'data') });
});
afterAll(async () => {
  await running?.close();
  await rm(folder, { recursive: true });
});

interface Outcome {
  readonly code: number;
  readonly out: string[];
  readonly err: string;
}

/** Runs a command as npm would, on a data folder of the test's. */
function run(script: string, args: readonly string[], data = 'data', env: NodeJS.ProcessEnv = {}): Promise<Outcome> {
  const settings = { PATH: process.env.PATH, DATA_DIR: path.join(folder, data), ...env };
  return new Promise((resolve) => {
    const argv = ['--import', 'tsx', script, ...args];
    execFile(process.execPath, argv, { cwd: root, env: settings }, (error, out, err) => {
      resolve({ code: Number(error?.code ?? 0), out: out.trim().split('\n'), err: err.trim() });
    });
  });
}
const shop = (...args: string[]) => run('src/shop.ts', args);

describe('contract: npm run shop, while the program runs on the same data', () => {
  it('opens a shop, hands out keys, lists and revokes them', async () => {
    const made = await shop('create', 'Invented Interiors', '--timezone', 'Europe/London', '--currency', 'GBP');
    const ownerKey = made.out.at(-1) ?? '';
    const holder = await verifyKey(running, ownerKey);
    expect(holder).toMatchObject({ role: 'owner', timeZone: 'Europe/London' });
    const shopId = holder?.shopId ?? '';
    expect((await shop('list')).out.join()).toContain(`${shopId}  Europe/London  Invented Interiors`);

    const desk = await shop('key', shopId, '--role', 'desk', '--label', 'front desk');
    const deskHolder = await verifyKey(running, desk.out.at(-1) ?? '');
    expect(deskHolder).toMatchObject({ shopId, role: 'desk' });
    expect((await shop('list', shopId)).out.join('\n')).toMatch(/owner.*\n.*desk +front desk$/);

    expect((await shop('revoke', shopId, deskHolder?.keyId ?? '')).code).toBe(0);
    expect(await verifyKey(running, desk.out.at(-1) ?? '')).toBeUndefined();
    expect(await verifyKey(running, ownerKey)).toMatchObject({ shopId });
  });

  it.each([
    [
      ['create', 'x', '--timezone', 'Nowhere'],
      '--timezone is "Nowhere": allowed is an IANA name such as Europe/London',
    ],
    [['key', 'x', '--role', 'desk'], '"x" is no shop id: npm run shop -- list shows them'],
    [
      ['list', '00000000-0000-4000-8000-000000000000'],
      'there is no shop 00000000-0000-4000-8000-000000000000: npm run shop -- list shows them',
    ],
  ])('says in one line what is wrong with %j', async (args, message) => {
    expect(await shop(...args)).toEqual({ code: 1, out: [''], err: message });
  });

  it('stops at a bad setting with one line and no stack', async () => {
    const { code, err } = await run('src/shop.ts', ['list'], 'data', { PORT: 'x' });
    expect({ code, err }).toEqual({ code: 1, err: 'PORT is "x": allowed is a whole number from 0 to 65535' });
  });
});

describe('contract: npm run backup and restore', () => {
  it('backs up while the program runs, restores into a new folder, and refuses to do so twice', async () => {
    const made = await shop('create', 'Kept', '--timezone', 'UTC');
    const file = path.join(folder, 'backup');
    expect((await run('db/backup.ts', [file])).out.at(-1)).toBe(`Backed up into ${file}`);
    const restored = await run('db/restore.ts', [file], 'other');
    expect(restored.out.at(-1)).toBe(`Restored from ${file}, counts and digests compared`);
    const again = await run('db/restore.ts', [file], 'other');
    expect(again).toMatchObject({ code: 1, err: 'the database is not empty: shop has rows; restore into a new one' });
    const other = await openDatabase({ dataDir: path.join(folder, 'other') });
    expect(await verifyKey(other, made.out.at(-1) ?? '')).toMatchObject({ role: 'owner' });
    await other.close();
  });
});
