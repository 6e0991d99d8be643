import { once } from 'node:events';
import type { Server } from 'node:http';
import { createAdaptorServer } from '@hono/node-server';
import type { OpenAPIHono } from '@hono/zod-openapi';
import type { AppEnv } from './env.ts';

export interface Listening {
  readonly address: string;
  /** Takes no new connection, lets requests in flight finish within the deadline, then cuts what is left. */
  stop(deadlineMs: number): Promise<void>;
}

/** A client that trickles its headers must not hold a connection for ever; bodies of uploads may take their time. */
const headersWithinMs = 20_000;
const requestWithinMs = 10 * 60_000;
const idleSweepMs = 50;

/** Throws one clear line where the port cannot be had. */
export async function listen(
  app: Pick<OpenAPIHono<AppEnv>, 'fetch'>,
  { host, port }: { readonly host: string; readonly port: number },
): Promise<Listening> {
  // The border to the adaptor's union of server kinds: without further options it makes a plain one.
  const server = createAdaptorServer({ fetch: app.fetch }) as Server;
  server.headersTimeout = headersWithinMs;
  server.requestTimeout = requestWithinMs;
  server.listen(port, host);
  try {
    await once(server, 'listening');
  } catch (error) {
    throw new Error(whyNot(error, host, port), { cause: error });
  }
  return { address: addressOf(server, host), stop: (deadlineMs) => stop(server, deadlineMs) };
}

async function stop(server: Server, deadlineMs: number): Promise<void> {
  const closed = new Promise((resolve) => server.close(resolve));
  // A connection kept alive becomes idle once its answer is out, and then has nothing to wait for.
  const sweep = setInterval(() => server.closeIdleConnections(), idleSweepMs);
  const deadline = setTimeout(() => server.closeAllConnections(), deadlineMs);
  await closed;
  clearInterval(sweep);
  clearTimeout(deadline);
}

function addressOf(server: Server, host: string): string {
  const address = server.address();
  const port = typeof address === 'object' && address ? address.port : '';
  return `http://${host.includes(':') ? `[${host}]` : host}:${port}`;
}

function whyNot(error: unknown, host: string, port: number): string {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'EADDRINUSE')
    return `Port ${port} of ${host} is taken: stop the program that has it, or set PORT to another`;
  if (code === 'EACCES') return `Port ${port} of ${host} may not be opened by this user: set PORT to one above 1023`;
  if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND') return `HOST ${host} is no address of this machine: set HOST`;
  return `Port ${port} of ${host} cannot be opened: ${error instanceof Error ? error.message : String(error)}`;
}
