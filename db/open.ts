/** The database, whichever kind of server it is on: found or started, migrated, and opened under the program's role. */
import type { PostgresJsDatabase } from 'drizzle-orm/postgres-js';
import { drizzle } from 'drizzle-orm/postgres-js';
import postgres from 'postgres';
import type { EmbeddedOptions } from './embedded.ts';
import { startEmbedded } from './embedded.ts';
import { migrateDatabase } from './migrate.ts';
import { programRole } from './schema.ts';
import { sayIfSlow } from './waiting.ts';

interface OpenOptions extends EmbeddedOptions {
  /** A server of one's own; without it the embedded one is started in `dataDir`. */
  readonly databaseUrl?: string | undefined;
}

export interface Database {
  readonly kind: 'server' | 'embedded';
  /** Connects as the program's role, which sees one shop at a time. */
  readonly url: string;
  /** Connects as the tables' owner: for migrations, the queue, backups. Holds the password: never to be printed. */
  readonly ownerUrl: string;
  /** Instants come as Date, calendar days and counts as text; json parameters may be given as objects. */
  readonly sql: postgres.Sql;
  readonly orm: PostgresJsDatabase;
  close(): Promise<void>;
}

export async function openDatabase(options: OpenOptions): Promise<Database> {
  const server = await findServer(options);
  try {
    const moving = migrateDatabase(server.ownerUrl);
    await sayIfSlow(options.onProgress ?? (() => {}), 'Bringing the tables up to date …', moving);
    return { ...server, ...openPool(server) };
  } catch (error) {
    await server.stop();
    throw error;
  }
}

export interface Server {
  readonly kind: Database['kind'];
  readonly ownerUrl: string;
  stop(): Promise<void>;
}

/** Finds or starts the server and leaves its tables as they are. */
export async function findServer({ databaseUrl, ...embedded }: OpenOptions): Promise<Server> {
  if (databaseUrl) return { kind: 'server', ownerUrl: databaseUrl, stop: async () => {} };
  const { ownerUrl, stop } = await startEmbedded(embedded);
  return { kind: 'embedded', ownerUrl, stop };
}

function openPool({ ownerUrl, stop }: Server): Pick<Database, 'url' | 'sql' | 'orm' | 'close'> {
  const url = urlAsProgram(ownerUrl);
  const sql = postgres(url, { onnotice: () => {}, connection: { application_name: 'secondpass' } });
  const orm = drizzle(sql);
  agreeOnTypes(sql);
  return {
    url,
    sql,
    orm,
    close: async () => {
      await sql.end({ timeout: 10 });
      await stop();
    },
  };
}

/** The role is set as the session starts, so that no query ever runs as the owner. */
function urlAsProgram(ownerUrl: string): string {
  const url = new URL(ownerUrl);
  url.searchParams.set('role', programRole.name);
  return url.href;
}

/** drizzle takes over how its driver reads and writes instants and json; plain queries on the same pool keep theirs. */
function agreeOnTypes(sql: postgres.Sql): void {
  const { parsers, serializers } = sql.options;
  const instant = 1184;
  parsers[instant] = (text: string) => new Date(text);
  serializers[instant] = (value: unknown) => (value instanceof Date ? value.toISOString() : value);
  for (const json of [114, 3802]) {
    serializers[json] = (value: unknown) => (typeof value === 'string' ? value : JSON.stringify(value));
  }
}
