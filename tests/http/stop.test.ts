import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { type IncomingMessage, request } from 'node:http';
import { createServer } from 'node:net';
import { text } from 'node:stream/consumers';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createKey } from '../../src/store/keys.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop } from '../../src/store/shops.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';

let db: FreshDatabase;
let key: string;
beforeAll(async () => {
  db = await freshDatabase();
  const { shopId } = await createShop(db, { name: 'Invented shop', timeZone: 'Europe/London', invented: true });
  key = (await inShop(db, shopId, (tx) => createKey(tx, { role: 'owner', label: 'owner' }))).text;
});
afterAll(() => db.close());

describe('contract: the program as a process', () => {
  it('finishes a request in flight when told to stop, takes no other, ends with 0 and has logged no key', async () => {
    const program = await start();
    const records = { Authorization: `Bearer ${key}`, 'Content-Type': 'application/x-ndjson' };
    const upload = request(`${program.address}/v1/records`, { method: 'POST', headers: records });
    const answered = once(upload, 'response') as Promise<[IncomingMessage]>;
    upload.write('{"ref": "half a line');
    await reachable(program.address);
    program.child.kill('SIGTERM');
    await refused(program.address);
    upload.end('"}\n');
    const [response] = await answered;
    expect(response.statusCode).toBe(200);
    expect(JSON.parse(await text(response))).toMatchObject({ accepted: 0, rejected: 1 });
    expect(await program.ended).toEqual([0, null]);
    expect(program.output()).toContain('"msg":"stopped"');
    expect(program.output()).toContain('"route":"/v1/records"');
    expect(program.output()).not.toContain(key.slice(-43));
  });

  it('tells in one line that its port is taken, before a demonstration is made', async () => {
    const other = createServer().listen(0, '127.0.0.1');
    await once(other, 'listening');
    const address = other.address();
    const port = typeof address === 'object' ? address?.port : undefined;
    for (const command of [[], ['demo']]) {
      const program = run({ PORT: String(port) }, command);
      expect(await program.ended).toEqual([1, null]);
      expect(program.output().trim()).toBe(
        `Port ${port} of 127.0.0.1 is taken: stop the program that has it, or set PORT to another`,
      );
    }
    other.close();
  });

  it('tells in one line which setting is bad', async () => {
    const program = run({ PORT: 'eighty' });
    expect(await program.ended).toEqual([1, null]);
    expect(program.output().trim()).toBe('PORT is "eighty": allowed is a whole number from 0 to 65535');
  });
});

interface Running {
  readonly child: ChildProcess;
  readonly ended: Promise<unknown[]>;
  output(): string;
}

function run(settings: Readonly<Record<string, string>>, command: readonly string[] = []): Running {
  const env = { ...process.env, DATABASE_URL: db.ownerUrl, HOST: '127.0.0.1', ...settings };
  const args = ['--import', 'tsx', 'src/main.ts', ...command];
  const child = spawn(process.execPath, args, { env, stdio: ['ignore', 'pipe', 'pipe'] });
  let output = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (output += chunk));
  return { child, ended: once(child, 'exit'), output: () => output };
}

async function start(): Promise<Running & { readonly address: string }> {
  const running = run({ PORT: '0' });
  for (;;) {
    const address = /answers at (http:\S+);/.exec(running.output())?.[1];
    if (address) return { ...running, address };
    if (running.child.exitCode !== null) throw new Error(`the program ended at once: ${running.output()}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** Answered by the server itself, on a connection of its own: what was sent before it has arrived. */
async function reachable(address: string): Promise<void> {
  const answer = await fetch(`${address}/healthz`, { headers: { Connection: 'close' } });
  expect(answer.status).toBe(200);
}

async function refused(address: string): Promise<void> {
  for (;;) {
    const down = await fetch(`${address}/healthz`, { headers: { Connection: 'close' } }).then(
      () => false,
      () => true,
    );
    if (down) return;
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}
