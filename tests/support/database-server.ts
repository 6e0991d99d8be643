/**
 * One PostgreSQL server a test run, with a migrated template that each test file copies. TEST_DATABASE_URL names one;
 * else a container where `docker info` answers; else the embedded server. TEST_DATABASES=container|embedded insists.
 */
import { execFile } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import postgres from 'postgres';
import type { TestProject } from 'vitest/node';
import { startEmbedded } from '../../db/embedded.ts';
import { migrateDatabase } from '../../db/migrate.ts';

declare module 'vitest' {
  interface ProvidedContext {
    readonly databaseServer: { readonly adminUrl: string; readonly prefix: string; readonly kind: string };
  }
}

interface TestServer {
  readonly kind: string;
  readonly adminUrl: string;
  stop(): Promise<unknown>;
}

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const server = await startServer();
  const prefix = `secondpass_${randomBytes(4).toString('hex')}`;
  const version = await makeTemplate(server.adminUrl, `${prefix}_template`);
  console.log(`database suite on ${server.kind}, PostgreSQL ${version}`);
  project.provide('databaseServer', { adminUrl: server.adminUrl, prefix, kind: server.kind });
  return async () => {
    await dropAll(server.adminUrl, prefix);
    await server.stop();
  };
}

async function startServer(): Promise<TestServer> {
  const { TEST_DATABASE_URL: url, TEST_DATABASES: wanted } = process.env;
  if (wanted && wanted !== 'container' && wanted !== 'embedded') {
    throw new Error(`TEST_DATABASES is "${wanted}": one of container, embedded`);
  }
  if (url && !wanted) return { kind: 'the server of TEST_DATABASE_URL', adminUrl: url, stop: async () => {} };
  if (wanted === 'container' || (!wanted && (await dockerAnswers()))) return startContainer();
  return startTemporary();
}

/** The engine that will not answer is a reason to use the embedded server, unless a container was insisted on. */
const dockerAnswers = () =>
  promisify(execFile)('docker', ['info'], { timeout: 10_000 }).then(
    () => true,
    () => false,
  );

async function startContainer(): Promise<TestServer> {
  const { PostgreSqlContainer } = await import('@testcontainers/postgresql');
  const container = await new PostgreSqlContainer('postgres:15').start();
  return { kind: 'a container', adminUrl: container.getConnectionUri(), stop: () => container.stop() };
}

async function startTemporary(): Promise<TestServer> {
  const dataDir = await mkdtemp(path.join(tmpdir(), 'secondpass-tests-'));
  const { ownerUrl, stop } = await startEmbedded({ dataDir });
  return {
    kind: 'the embedded server',
    adminUrl: ownerUrl,
    stop: async () => {
      await stop();
      await rm(dataDir, { recursive: true });
    },
  };
}

async function makeTemplate(adminUrl: string, template: string): Promise<string> {
  const admin = postgres(adminUrl, { max: 1 });
  try {
    await admin`create database ${admin(template)} template template0`;
    const url = new URL(adminUrl);
    url.pathname = `/${template}`;
    await migrateDatabase(url.href);
    const [row] = await admin`select current_setting('server_version') as version`;
    return String(row?.version);
  } finally {
    await admin.end();
  }
}

async function dropAll(adminUrl: string, prefix: string): Promise<void> {
  const admin = postgres(adminUrl, { max: 1 });
  const rows = await admin`select datname from pg_database where starts_with(datname, ${prefix})`;
  for (const { datname } of rows) await admin`drop database ${admin(datname)} with (force)`;
  await admin.end();
}
