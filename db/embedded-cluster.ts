/** The folder of an embedded server: made whole or not at all, with its password inside; and what runs in it now. */
import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { mkdir, readdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import path from 'node:path';
import type { Account } from './embedded-account.ts';
import { giveTo, ignoreMissing, spawnAs } from './embedded-account.ts';

export const ownerName = 'secondpass';
const passwordFile = 'secondpass.password';

/** What PostgreSQL wrote about itself into its folder: a process and a port of 127.0.0.1. */
export interface Postmaster {
  readonly pid: number;
  readonly port: number;
}

/**
 * Makes the cluster if there is none. It is built beside its place and renamed into it, so that a crash half-way or a
 * second program that does the same leave either a whole cluster or none.
 */
export async function ensureCluster(account: Account, clusterDir: string): Promise<void> {
  if (await exists(path.join(clusterDir, 'PG_VERSION'))) return;
  await removeAbandonedDrafts(clusterDir);
  const draft = `${clusterDir}.new-${process.pid}`;
  const secret = `${draft}.password`;
  await rm(draft, { recursive: true, force: true });
  try {
    await mkdir(draft, { mode: 0o700 });
    await writeFile(secret, randomBytes(24).toString('base64url'), { mode: 0o600 });
    await giveTo(account, draft);
    await giveTo(account, secret);
    await initialise(account, draft, secret);
    await rename(secret, path.join(draft, passwordFile));
    await rename(draft, clusterDir).catch(ignoreTaken);
  } finally {
    await rm(draft, { recursive: true, force: true });
    await rm(secret, { force: true });
  }
}

/** The password of the cluster's owner; only who may read the folder has it. */
export async function readPassword(clusterDir: string): Promise<string> {
  const password = await readFile(path.join(clusterDir, passwordFile), 'utf8').catch(ignoreMissing);
  if (!password) throw new Error(`${clusterDir} is not a database of this program: it holds no ${passwordFile}`);
  return password.trim();
}

/** The server that runs on the cluster, or undefined; what a killed one left behind is not taken for it. */
export async function readPostmaster(clusterDir: string): Promise<Postmaster | undefined> {
  const file = path.join(clusterDir, 'postmaster.pid');
  const lines = (await readFile(file, 'utf8').catch(ignoreMissing))?.split('\n');
  const pid = Number(lines?.[0]);
  if (!lines || !pid) return undefined;
  if (await isServer(pid)) return { pid, port: Number(lines[3] ?? 0) };
  // PostgreSQL itself would refuse to start where its old number now belongs to some other process.
  if (isAlive(pid)) await rm(file, { force: true });
  return undefined;
}

function isAlive(pid: number): boolean {
  return sendSignal(pid, 0);
}

/** Sends a signal; false where there is no such process any more. */
export function sendSignal(pid: number, signal: NodeJS.Signals | 0): boolean {
  try {
    return process.kill(pid, signal);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ESRCH') return false;
    if (code === 'EPERM') return true;
    throw error;
  }
}

async function initialise(account: Account, folder: string, pwfile: string): Promise<void> {
  const args = [`--pgdata=${folder}`, `--pwfile=${pwfile}`, `--username=${ownerName}`, '--auth=scram-sha-256'];
  // Sorted by code point: the same order on every machine, and no index breaks when its C library changes.
  const child = spawnAs(account, account.binaries.initdb, [...args, '--encoding=UTF8', '--no-locale'], {
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let said = '';
  child.stderr?.on('data', (chunk) => {
    said += chunk;
  });
  const [code] = await once(child, 'close');
  if (code !== 0) throw new Error(`the database in ${folder} could not be made: ${said.trim()}`);
}

/** Drafts whose maker was killed while he made them. */
async function removeAbandonedDrafts(clusterDir: string): Promise<void> {
  const start = `${path.basename(clusterDir)}.new-`;
  for (const name of await readdir(path.dirname(clusterDir))) {
    if (!name.startsWith(start) || isAlive(Number.parseInt(name.slice(start.length), 10))) continue;
    await rm(path.join(path.dirname(clusterDir), name), { recursive: true, force: true });
  }
}

const exists = async (file: string) => (await stat(file).catch(ignoreMissing)) !== undefined;

function ignoreTaken(error: NodeJS.ErrnoException): void {
  if (error.code !== 'ENOTEMPTY' && error.code !== 'EEXIST') throw error;
}

/** Whether the process is a server; where the system does not tell, PostgreSQL is left to decide for itself. */
export async function isServer(pid: number): Promise<boolean> {
  if (process.platform !== 'linux') return isAlive(pid);
  const stat = await readFile(`/proc/${pid}/stat`, 'utf8').catch(ignoreGone);
  const [, name, state] = stat?.match(/\((.*)\) (\w)/) ?? [];
  return name === 'postgres' && state !== 'Z';
}

/** A process may end between the opening of its file and the reading. */
function ignoreGone(error: NodeJS.ErrnoException): undefined {
  if (error.code !== 'ESRCH') ignoreMissing(error);
}
