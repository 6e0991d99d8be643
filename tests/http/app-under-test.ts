import { randomUUID } from 'node:crypto';
import { type Logger, pino } from 'pino';
import type { Role } from '../../src/domain/vocabulary.ts';
import { buildApp } from '../../src/http/app.ts';
import type { AppDeps } from '../../src/http/env.ts';
import { createMetrics } from '../../src/http/metrics.ts';
import { createKey } from '../../src/store/keys.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop } from '../../src/store/shops.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';

export const now = new Date('2025-03-05T10:00:00Z');

export interface AppUnderTest {
  readonly db: FreshDatabase;
  readonly deps: AppDeps;
  /** Every route that is mounted, as `GET /v1/fits/:id`; middleware left out. */
  readonly routes: readonly string[];
  /** Every line logged so far, as written. */
  readonly logged: string[];
  /** One request; an object is sent as JSON. */
  call(method: string, path: string, options?: CallOptions): Promise<Response>;
  /** An invented shop of its own with a key of each role. */
  openShop(): Promise<ShopUnderTest>;
  close(): Promise<void>;
}

export interface ShopUnderTest {
  readonly shopId: string;
  readonly keys: Readonly<Record<Role, string>>;
}

interface CallOptions {
  readonly key?: string;
  readonly json?: unknown;
  readonly body?: string;
  readonly bytes?: Buffer;
  readonly headers?: Readonly<Record<string, string>>;
  /** The client's address, where it matters. */
  readonly from?: string;
}

/** The whole interface over a database of its own, with a clock that stands still and a log that is kept. */
export async function startApp(given: Partial<AppDeps> = {}): Promise<AppUnderTest> {
  const db = await freshDatabase();
  const logged: string[] = [];
  const deps: AppDeps = {
    db,
    now: () => now,
    log: keptLog(logged),
    metrics: createMetrics(),
    runFit: async () => ({ fitId: randomUUID(), status: 'published' }),
    ...given,
  };
  const app = buildApp(deps);
  return {
    db,
    deps,
    routes: app.routes.filter(({ method }) => method !== 'ALL').map(({ method, path }) => `${method} ${path}`),
    logged,
    call: async (method, path, options = {}) => {
      const socket = { remoteAddress: options.from ?? '192.0.2.1' };
      return await app.request(path, requestOf(method, options), { incoming: { socket } });
    },
    openShop: () => openShop(db),
    close: () => db.close(),
  };
}

/** The border to a body's type: what a test expects to read, checked by its assertions alone. */
export async function read<T>(response: Response): Promise<T> {
  return (await response.json()) as T;
}

/** The problem that a refused request answers. */
export interface ProblemRead {
  readonly status: number;
  readonly detail: string;
  readonly requestId?: string;
  readonly errors: readonly { readonly pointer: string; readonly field: string; readonly message: string }[];
}

function requestOf(method: string, { key, json, body, bytes, headers }: CallOptions): RequestInit {
  return {
    method,
    headers: {
      ...(key === undefined ? {} : { Authorization: `Bearer ${key}` }),
      ...(json === undefined ? {} : { 'Content-Type': 'application/json' }),
      ...headers,
    },
    ...(json === undefined ? {} : { body: JSON.stringify(json) }),
    ...(body === undefined ? {} : { body }),
    ...(bytes === undefined ? {} : { body: new Uint8Array(bytes) }),
  };
}

async function openShop(db: FreshDatabase): Promise<ShopUnderTest> {
  const { shopId } = await createShop(db, { name: 'Invented shop', timeZone: 'Europe/London', invented: true });
  return inShop(db, shopId, async (tx) => {
    const make = async (role: Role) => (await createKey(tx, { role, label: role })).text;
    return {
      shopId,
      keys: { technician: await make('technician'), desk: await make('desk'), owner: await make('owner') },
    };
  });
}

function keptLog(lines: string[]): Logger {
  return pino({ level: 'trace' }, { write: (line: string) => lines.push(line) });
}
