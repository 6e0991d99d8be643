/** Starting PostgreSQL on a cluster that is there. */
import type { ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { open, readFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { type Account, spawnAs } from './embedded-account.ts';
import { readPostmaster } from './embedded-cluster.ts';

/** Starts the server and waits until it has told its port, or has ended in a way that another try may mend. */
export async function launch(account: Account, home: string, port?: number): Promise<void> {
  const clusterDir = path.join(home, 'postgres');
  const log = await open(path.join(home, 'postgres.log'), 'a', 0o600);
  const args = ['-D', clusterDir, ...serverSettings(port ?? (await freePort())).flatMap((setting) => ['-c', setting])];
  // Detached: an interrupt typed at the terminal is for the program, which then stops the server in good order.
  const child = spawnAs(account, account.binaries.postgres, args, {
    detached: true,
    stdio: ['ignore', log.fd, log.fd],
  });
  await log.close();
  child.unref();
  const failed = ended(child);
  while (!(await readPostmaster(clusterDir))?.port) {
    const code = await Promise.race([failed, pause(50)]);
    if (code === undefined) continue;
    const words = await lastWords(home);
    if (!/postmaster\.pid|shared memory block|could not bind/.test(words)) {
      throw new Error(`the database in ${home} did not start (exit code ${code}): ${words}`);
    }
    return;
  }
}

async function ended(child: ChildProcess): Promise<number | string> {
  const [code, signal] = await once(child, 'exit');
  return code ?? signal;
}

function serverSettings(port: number): string[] {
  return [
    'listen_addresses=127.0.0.1',
    `port=${port}`,
    'unix_socket_directories=',
    'timezone=UTC',
    'log_timezone=UTC',
    'log_checkpoints=off',
  ];
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  server.close();
  await once(server, 'close');
  if (address === null || typeof address === 'string') throw new Error('the system gave no port of 127.0.0.1');
  return address.port;
}

/** What the server wrote last into its log. */
export async function lastWords(home: string): Promise<string> {
  const log = await readFile(path.join(home, 'postgres.log'), 'utf8');
  return log.trim().split('\n').slice(-3).join(' | ');
}
