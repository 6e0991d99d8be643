/** The whole program on a port of its own, with an invented shop in it, for tests in a browser. */
import { randomUUID } from 'node:crypto';
import { pino } from 'pino';
import { runShop } from '../../jobs/run-shop.ts';
import { createDemo } from '../../seed/demo.ts';
import type { Role } from '../../src/domain/vocabulary.ts';
import { buildApp } from '../../src/http/app.ts';
import { listen } from '../../src/http/listen.ts';
import { createMetrics } from '../../src/http/metrics.ts';
import { createSignInLink } from '../../src/store/entry-links.ts';
import type { Database } from '../../src/store/shop-scope.ts';
import { insertShop } from './database.ts';

export interface Site {
  readonly address: string;
  readonly db: Database;
  readonly shopId: string;
  readonly now: () => Date;
  /** The address of a link that signs in once. */
  link(role: Role): Promise<string>;
  /** Stops the server; the database is left to whoever opened it. */
  stop(): Promise<void>;
}

export interface SiteOptions {
  /**
   * `empty`: a shop with nothing in it (the default); `jobs`: the demonstration shop with its history; `learnt`: the
   * same with a published fit, which takes some seconds.
   */
  readonly shop?: 'empty' | 'jobs' | 'learnt';
  readonly now?: () => Date;
  /** A port where the former server listened, for tests in which it comes back. */
  readonly port?: number;
  /** A shop that is in the database already. */
  readonly shopId?: string;
}

export async function startSite(db: Database, options: SiteOptions = {}): Promise<Site> {
  const { shop = 'empty', now = () => new Date(), port = 0 } = options;
  const shopId = options.shopId ?? (await makeShop(db, shop, now));
  const app = buildApp({
    db,
    now,
    log: pino({ level: 'silent' }),
    metrics: createMetrics(),
    runFit: (id, fitId) => runShop({ db, now }, id, fitId),
  });
  const server = await listen(app, { host: '127.0.0.1', port });
  return {
    address: server.address,
    db,
    shopId,
    now,
    link: async (role) => server.address + (await createSignInLink(db, shopId, role, now())),
    stop: () => server.stop(1_000),
  };
}

async function makeShop(db: Database, kind: NonNullable<SiteOptions['shop']>, now: () => Date): Promise<string> {
  if (kind === 'empty') return insertShop(db);
  const { shopId } = await createDemo({ db, now, log: () => {} });
  if (kind === 'learnt') await runShop({ db, now }, shopId, randomUUID());
  return shopId;
}
