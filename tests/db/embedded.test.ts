import type { ChildProcess } from 'node:child_process';
import { execFileSync, spawn } from 'node:child_process';
import { chmod, chown, mkdir, mkdtemp, readdir, readFile, rm, stat, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { createInterface } from 'node:readline';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import postgres from 'postgres';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { startEmbedded } from '../../db/embedded.ts';
import { openDatabase } from '../../db/open.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop, listShopsForNightly } from '../../src/store/shops.ts';

let dataDir: string;
let programs: Program[];

beforeEach(async () => {
  dataDir = await mkdtemp(path.join(tmpdir(), 'secondpass-embedded-'));
  programs = [];
});
afterEach(async () => {
  for (const program of programs) program.child.kill('SIGKILL');
  killQuietly(await postmasterPid());
  await rm(dataDir, { recursive: true, maxRetries: 20, retryDelay: 200 });
});

interface Program {
  readonly child: ChildProcess;
  readonly lines: string[];
  /** The first line, said already or still to come, that begins so. */
  said(start: string): Promise<string>;
  readonly exited: Promise<unknown>;
}

/** Starts the program of embedded-program.ts on the test's folder. */
function start(task: string, options: { env?: NodeJS.ProcessEnv; uid?: number; gid?: number } = {}): Program {
  const script = fileURLToPath(new URL('./embedded-program.ts', import.meta.url));
  const child = spawn(process.execPath, ['--import', 'tsx', script, dataDir, task], {
    stdio: ['ignore', 'pipe', 'inherit'],
    ...options,
  });
  const lines: string[] = [];
  const waiting = new Set<() => void>();
  const reader = createInterface({ input: child.stdout }).on('line', (line) => {
    lines.push(line);
    for (const look of waiting) look();
  });
  const said = (begin: string) =>
    new Promise<string>((resolve, reject) => {
      const look = () => {
        const line = lines.find((each) => each.startsWith(begin));
        if (line) resolve(line);
      };
      waiting.add(look);
      reader.once('close', () => reject(new Error(`the program ended without "${begin}": ${lines.join(' | ')}`)));
      look();
    });
  const program = { child, lines, said, exited: new Promise((resolve) => child.once('close', resolve)) };
  programs.push(program);
  return program;
}

async function postmasterPid(): Promise<number | undefined> {
  const text = await readFile(path.join(dataDir, 'postgres', 'postmaster.pid'), 'utf8').catch(() => '');
  return Number.parseInt(text, 10) || undefined;
}

function killQuietly(pid: number | undefined): void {
  if (pid && isRunning(pid)) process.kill(pid, 'SIGKILL');
}

function isRunning(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

/** The server's process that serves whoever holds the folder; throws while it takes no connections. */
/** After a kill PostgreSQL first writes every file of the cluster through to the disk: 4 s on a quiet one, and it is not ours to say how long. */
const recoveredMs = 90_000;

async function lockHolder(ownerUrl: string): Promise<number | undefined> {
  const sql = postgres(ownerUrl, { max: 1 });
  try {
    const [row] = await sql`select pid from pg_locks where locktype = 'advisory' and granted`;
    return row?.pid;
  } finally {
    await sql.end();
  }
}

describe('contract: the embedded server', () => {
  it('keeps what was stored, is found again, and ends with the program', async () => {
    const first = await openDatabase({ dataDir });
    const { shopId } = await createShop(first, { name: 'Invented', timeZone: 'UTC' });
    const pid = await postmasterPid();
    await first.close();
    expect(await postmasterPid()).toBeUndefined();
    expect(isRunning(pid ?? 0)).toBe(false);

    const second = await openDatabase({ dataDir });
    expect(await listShopsForNightly(second)).toEqual([{ shopId, timeZone: 'UTC' }]);
    await second.close();
    expect((await readdir(dataDir)).sort()).toEqual(['postgres', 'postgres.log']);
  });

  it('is as durable as PostgreSQL is by default', async () => {
    const { ownerUrl, stop } = await startEmbedded({ dataDir });
    const sql = postgres(ownerUrl, { max: 1 });
    const settings = await sql`select name, setting from pg_settings
      where name in ('fsync', 'full_page_writes', 'synchronous_commit') order by 1`;
    expect(settings.map((row) => `${row.name} ${row.setting}`)).toEqual([
      'fsync on',
      'full_page_writes on',
      'synchronous_commit on',
    ]);
    await sql.end();
    await stop();
  });

  it('lets nobody in without the password that only readers of the folder have', async () => {
    const { ownerUrl, stop } = await startEmbedded({ dataDir });
    const url = new URL(ownerUrl);
    expect(url.hostname).toBe('127.0.0.1');
    url.password = 'guessed';
    const guess = postgres(url.href, { max: 1 });
    await expect(guess`select 1`).rejects.toMatchObject({ code: '28P01' });
    const hba = await readFile(path.join(dataDir, 'postgres', 'pg_hba.conf'), 'utf8');
    const methods = hba.split('\n').filter((line) => /^(local|host)/.test(line));
    expect(methods.length).toBeGreaterThan(0);
    expect(methods.filter((line) => !line.endsWith('scram-sha-256'))).toEqual([]);
    await guess.end();
    await stop();
  });

  it('refuses a second program in one line that names the first, and lets a guest join without harm', async () => {
    const first = start('hold');
    await first.said('open');
    await expect(startEmbedded({ dataDir })).rejects.toThrow(
      `${dataDir} is in use by process ${first.child.pid}: stop it first, or set DATA_DIR to another folder`,
    );
    const pid = await postmasterPid();
    const guest = await openDatabase({ dataDir, whenInUse: 'join' });
    await createShop(guest, { name: 'By the guest', timeZone: 'UTC' });
    await guest.close();
    expect(await postmasterPid()).toBe(pid);
    first.child.kill('SIGTERM');
    await first.said('closed');
    expect(await postmasterPid()).toBeUndefined();
  });

  it('stays the program’s own after one of PostgreSQL’s processes was killed, and with it every connection', async () => {
    const first = start('hold');
    await first.said('open');
    const { ownerUrl, stop } = await startEmbedded({ dataDir, whenInUse: 'join' });
    await stop();
    const holder = () => lockHolder(ownerUrl);
    const former = await holder();
    process.kill(former ?? 0, 'SIGKILL');
    await vi.waitFor(
      async () => expect(await holder()).toSatisfy((pid) => pid !== undefined && pid !== former),
      recoveredMs,
    );
    const guest = await startEmbedded({ dataDir, whenInUse: 'join' });
    await guest.stop();
    expect(isRunning(guest.pid)).toBe(true);
    first.child.kill('SIGTERM');
    await first.said('closed');
    expect(await postmasterPid()).toBeUndefined();
  });

  it('is left in good order where it ended before the program did', async () => {
    const { pid, stop } = await startEmbedded({ dataDir });
    process.kill(pid, 'SIGINT');
    await vi.waitFor(() => expect(isRunning(pid)).toBe(false), 20_000);
    await pause(300); // the program is starting the server again
    await stop();
    expect(await postmasterPid()).toBeUndefined();
  });

  it.each(['SIGKILL', 'SIGINT'] as const)('is started again where it ended under the program: %s', async (signal) => {
    const said: string[] = [];
    const db = await openDatabase({ dataDir, onProgress: (line) => said.push(line) });
    const { shopId } = await createShop(db, { name: 'Invented', timeZone: 'UTC' });
    const former = await postmasterPid();
    process.kill(former ?? 0, signal);
    await vi.waitFor(
      async () => expect(await postmasterPid()).toSatisfy((pid) => pid !== undefined && pid !== former),
      recoveredMs,
    );
    await vi.waitFor(
      async () => expect(await listShopsForNightly(db)).toEqual([{ shopId, timeZone: 'UTC' }]),
      recoveredMs,
    );
    expect(said).toContain(`The database in ${dataDir} has ended; starting it again …`);
    await vi.waitFor(async () => expect(await lockHolder(db.ownerUrl)).toBeDefined(), recoveredMs);
    await db.close();
    expect(await postmasterPid()).toBeUndefined();
  });

  it('serves exactly one of two programs that start at once on an empty folder', async () => {
    const both = [start('hold'), start('hold')];
    const answers = await Promise.all(
      both.map((program) => Promise.any([program.said('open'), program.said('refused')])),
    );
    expect(answers.map((line) => line.split(' ')[0]).sort()).toEqual(['open', 'refused']);
    expect((await readdir(dataDir)).filter((name) => name.includes('.new-'))).toEqual([]);
  });

  it('is adopted after the program was killed, and stopped by who adopted it', async () => {
    const first = start('hold');
    await first.said('open');
    const pid = await postmasterPid();
    first.child.kill('SIGKILL');
    await first.exited;
    expect(isRunning(pid ?? 0)).toBe(true);
    const second = await startEmbedded({ dataDir });
    expect(second.pid).toBe(pid);
    await second.stop();
    expect(await postmasterPid()).toBeUndefined();
  });

  it('keeps every acknowledged row when program and server are killed in the middle of writing', async () => {
    for (let round = 0; round < 3; round += 1) {
      const writer = start('commit');
      await writer.said(`ack 1-${30 + 10 * round}`);
      const pid = await postmasterPid();
      writer.child.kill('SIGKILL');
      process.kill(pid ?? 0, 'SIGKILL');
      await writer.exited;
      const shopId = (await writer.said('shop')).slice(5);
      const acknowledged = writer.lines.filter((line) => line.startsWith('ack ')).map((line) => line.slice(4));
      expect(acknowledged.length).toBeGreaterThan(30);

      const again = await openDatabase({ dataDir });
      const rows = await inShop(again, shopId, (tx) => tx.sql`select key from technician`);
      const stored = new Set(rows.map((row) => row.key));
      expect(acknowledged.filter((key) => !stored.has(key))).toEqual([]);
      expect(stored.size).toBeLessThanOrEqual(acknowledged.length + 4);
      await again.close();
    }
  });

  it('starts where a killed server left its process number and another process has that number now', async () => {
    await (await startEmbedded({ dataDir })).stop();
    await writeFile(path.join(dataDir, 'postgres', 'postmaster.pid'), `${process.pid}\n${dataDir}\n0\n5432\n\n`);
    const { stop } = await startEmbedded({ dataDir });
    await stop();
  });

  it('starts where a program was killed while it made the database', async () => {
    const { pid } = spawn(process.execPath, ['--version'], { stdio: 'ignore' });
    await mkdir(path.join(dataDir, `postgres.new-${pid}`, 'base'), { recursive: true });
    while (isRunning(pid ?? 0)) await new Promise((resolve) => setTimeout(resolve, 20));
    await (await startEmbedded({ dataDir })).stop();
    expect((await readdir(dataDir)).sort()).toEqual(['postgres', 'postgres.log']);
  });

  it('says why it cannot start', async () => {
    await mkdir(path.join(dataDir, 'postgres'));
    await writeFile(path.join(dataDir, 'postgres', 'PG_VERSION'), '18\n');
    await expect(startEmbedded({ dataDir })).rejects.toThrow('is not a database of this program');
    await rm(path.join(dataDir, 'postgres'), { recursive: true });
    await (await startEmbedded({ dataDir })).stop();
    await writeFile(path.join(dataDir, 'postgres', 'PG_VERSION'), '14\n');
    await expect(startEmbedded({ dataDir })).rejects.toThrow(/did not start.*initialized by PostgreSQL version 14/);
  });
});

const nobody = 65_534;
const isRoot = process.getuid?.() === 0;

describe.runIf(isRoot)('contract: the embedded server, started by root', () => {
  const mayEnter = (uid: number) => {
    try {
      execFileSync(process.execPath, ['-e', '0'], { uid, cwd: path.dirname(fileURLToPath(import.meta.url)) });
      return true;
    } catch {
      return false;
    }
  };

  it('keeps its files as root’s where only root may enter', async (context) => {
    expect((await stat(dataDir)).mode & 0o077).toBe(0);
    const server = await startEmbedded({ dataDir }).catch((error: Error) => error.message);
    if (typeof server === 'string') {
      expect(server).toContain('cannot enter');
      return context.skip('user namespaces are forbidden here, and the program said so');
    }
    await server.stop();
    expect((await stat(path.join(dataDir, 'postgres'))).uid).toBe(0);
  });

  it('runs the same for an ordinary user', async (context) => {
    if (!mayEnter(nobody)) return context.skip('an ordinary user may not enter the checkout');
    await chown(dataDir, nobody, nobody);
    const program = start('hold', { uid: nobody, gid: nobody, env: { PATH: process.env.PATH, HOME: dataDir } });
    await program.said('open');
    program.child.kill('SIGTERM');
    await program.said('closed');
  });

  it('falls back to an ordinary account where user namespaces are forbidden', async (context) => {
    try {
      execFileSync('id', ['-u', 'postgres']);
    } catch {
      return context.skip('a postgres account would have to be made on this machine');
    }
    const bin = await mkdtemp(path.join(tmpdir(), 'secondpass-bin-'));
    await symlink(execFileSync('which', ['id'], { encoding: 'utf8' }).trim(), path.join(bin, 'id'));
    const env = { ...process.env, PATH: bin };
    const refused = start('hold', { env });
    expect(await refused.said('refused')).toMatch(/cannot enter .*set DATA_DIR to a folder that it may enter/);
    await chmod(dataDir, 0o755);
    const program = start('hold', { env });
    await program.said('open');
    program.child.kill('SIGTERM');
    await program.said('closed');
    // Whoever owns the cluster keeps it, also where user namespaces are allowed.
    await (await startEmbedded({ dataDir })).stop();
    await rm(bin, { recursive: true });
  });
});
