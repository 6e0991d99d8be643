import { createRoute, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { comebackReport } from '../insight/comebacks.ts';
import { machinesReport } from '../insight/machines/report.ts';
import { upgradeReport, upgradeRequest } from '../insight/machines/upgrade.ts';
import type { Verdict } from '../insight/publication.ts';
import type { StoredAnswer } from '../insight/quotes/followed.ts';
import { priceList } from '../insight/quotes/price-list.ts';
import { quotesReport } from '../insight/quotes/report.ts';
import type { MonthScores } from '../insight/scoring/month-scores.ts';
import { trackRecord } from '../insight/track-record.ts';
import { wetnessReport } from '../insight/wetness/report.ts';
import { readAnswers } from '../store/estimates.ts';
import { readPublishedScores } from '../store/fits.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import { requireRole } from './auth.ts';
import { type AppDeps, type AppEnv, newRouter } from './env.ts';
import { problemResponses, refusal } from './problem.ts';
import { csvText } from './records-csv-text.ts';
import type { ReportBasis, ReportSource } from './report-basis.ts';
import {
  comebackTable,
  machinesTable,
  pricesTable,
  quotesTable,
  type Table,
  trackTable,
  wetnessTable,
} from './report-tables.ts';
import { statusOf } from './status.ts';

const answered = z
  .looseObject({ answer: z.string().openapi({ description: 'the question answered in words' }) })
  .openapi({ description: 'Figures carry their unit in the name and their 90 % range as p05, p50, p95' });

const reportOf = (answer: string, more: object = {}) => ({
  200: {
    description: 'The report; as a table with Accept: text/csv',
    content: {
      'application/json': { schema: answered, example: { answer, ...more } },
      'text/csv': { schema: z.string(), example: 'name,p05,p50,p95' },
    },
  },
});

const risk = z.coerce.number().gt(0).lt(1).optional().openapi({ example: 0.2, description: 'share that may run over' });

const wetness = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/wetness',
  summary: 'Who leaves too much water in, against the others on the same work',
  description: 'For coaching. Nobody is named where all do alike, or on fewer than eight measured jobs.',
  middleware: requireRole('owner'),
  responses: {
    ...reportOf('Nobody stands out over 84 measured jobs: no sign that anyone leaves too much water in.', {
      technicians: [],
    }),
    ...problemResponses(401, 403, 429),
  },
});

const machines = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/machines',
  summary: 'The shop’s extractors compared on the same work, its own mix of the last year',
  middleware: requireRole('owner'),
  request: { query: z.object({ baseline: z.string().max(64).optional().openapi({ example: 'drum-a' }) }) },
  responses: {
    ...reportOf('Pump B against Drum A on the same work: −0.21 hours a job …', { baseline: 'drum-a', machines: [] }),
    ...problemResponses(401, 403, 404, 422, 429),
  },
});

const upgrade = createRoute({
  tags: ['reports'],
  method: 'post',
  path: '/reports/machines/upgrade',
  summary: 'What an extractor not owned yet would save, and when it has paid for itself',
  middleware: requireRole('owner'),
  request: {
    body: {
      required: true,
      content: {
        'application/json': { schema: upgradeRequest, example: { price: 2400, grade: 'high', lifeMonths: 60 } },
      },
    },
  },
  responses: {
    ...reportOf(
      'It frees about 9.1 hours a month (90 % range 2.0 to 16.4). It has paid for itself after about 8 months …',
    ),
    ...problemResponses(400, 401, 403, 404, 413, 415, 422, 429),
  },
});

const quotes = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/quotes',
  summary: 'Quoted hours against the hours it took, by kind of job, and what to change',
  middleware: requireRole('desk'),
  request: { query: z.object({ risk }) },
  responses: {
    ...reportOf('61 of 240 jobs ran over their quoted hours; you aim at 20 in 100. Too low for minivan.', {
      byKind: {},
    }),
    ...problemResponses(401, 403, 422, 429),
  },
});

const prices = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/price-list',
  summary: 'A price list to print: body style × soil × what is cleaned, at the chosen risk',
  middleware: requireRole('desk'),
  request: { query: z.object({ risk }) },
  responses: {
    ...reportOf('Prices whose hours run over in 20 of 100 such jobs.', { prices: [] }),
    ...problemResponses(401, 403, 422, 429),
  },
});

const comebacks = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/comebacks',
  summary: 'Which jobs came back, by method, stain and water left in',
  middleware: requireRole('desk'),
  responses: {
    ...reportOf('22 of 640 jobs with a known outcome came back. …', { byMethod: [] }),
    ...problemResponses(401, 403, 429),
  },
});

const track = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/track-record',
  summary: 'Forecasts scored on jobs that they had not seen, month by month, against the rule of thumb',
  middleware: requireRole('desk'),
  responses: {
    ...reportOf('Hours: 388 of 475 inside the 80 % range: as it should be. 20 % less off than the rule of thumb …', {
      months: [],
    }),
    ...problemResponses(401, 403, 429),
  },
});

/** The owner's three questions, from what the night published and the records of the day. */
export function reportRoutes({ db, now }: AppDeps, source: ReportSource) {
  const read = <T>(c: Context<AppEnv>, work: (basis: ReportBasis, tx: ShopTransaction) => T | Promise<T>) =>
    inShop(db, c.get('shop').shopId, async (tx) => work(await source.basis(tx), tx));
  /** Reports look a year back from the day. */
  const today = () => now().toISOString().slice(0, 10);
  return newRouter(upgradeRequest)
    .openapi(wetness, async (c) => {
      const report = await read(c, (basis) =>
        source.remember(basis, 'wetness', () => wetnessReport(basis.fit, basis.shopRecords)),
      );
      return reply(c, report, () => wetnessTable(report));
    })
    .openapi(machines, async (c) => {
      const { baseline } = c.req.valid('query');
      const report = await read(c, (basis) => {
        if (baseline !== undefined && !basis.machines.some(({ key }) => key === baseline)) return undefined;
        return source.remember(basis, `machines ${today()} ${baseline}`, () =>
          machinesReport(basis.fit, basis.shopRecords, now(), baseline),
        );
      });
      if (report === undefined)
        return refusal(statusOf.notFound, `baseline is "${baseline}": no such machine on the list`);
      return reply(c, report, () => machinesTable(report));
    })
    .openapi(upgrade, async (c) => {
      const ask = c.req.valid('json');
      const report = await read(c, (basis) => {
        if (ask.replaces !== undefined && !basis.machines.some(({ key }) => key === ask.replaces))
          return `replaces is "${ask.replaces}": no such machine on the list`;
        const made = source.remember(basis, `upgrade ${today()} ${JSON.stringify(ask)}`, () =>
          upgradeReport(basis.fit, basis.shopRecords, now(), ask, basis.shop.settings),
        );
        return made ?? 'No extracted job is recorded yet: there is no mix of work to compare on';
      });
      if (typeof report === 'string') return refusal(statusOf.notFound, report);
      return c.json(report, 200);
    })
    .openapi(quotes, async (c) => {
      const report = await read(c, async (basis, tx) => {
        const settings = basis.shop.settings;
        const { risk = settings.overrunRisk } = c.req.valid('query');
        const answers = await storedAnswers(tx, basis);
        return source.remember(basis, `quotes ${today()} ${risk}`, () =>
          quotesReport(basis.fit, basis.shopRecords, settings, answers, now(), risk),
        );
      });
      return reply(c, report, () => quotesTable(report));
    })
    .openapi(comebacks, async (c) => {
      const report = await read(c, (basis) =>
        source.remember(basis, 'comebacks', () => comebackReport(basis.fit, basis.shopRecords.records)),
      );
      return reply(c, report, () => comebackTable(report));
    })
    .openapi(track, async (c) => {
      // Written by a run of this program, or null.
      const scores = (await inShop(db, c.get('shop').shopId, readPublishedScores)) as StoredScores | null | undefined;
      const report = trackRecord(scores?.months ?? [], scores?.verdict);
      return reply(c, report, () => trackTable(report));
    })
    .openapi(prices, async (c) => {
      const report = await read(c, (basis) => {
        const { shop, technicians, machines: list } = basis;
        const { risk = shop.settings.overrunRisk } = c.req.valid('query');
        const settings = { ...shop.settings, overrunRisk: risk };
        const context = { now: now(), timeZone: shop.timeZone, settings, technicians, machines: list };
        const made = source.remember(basis, `prices ${today()} ${risk}`, () => priceList(basis.fit, context));
        return { answer: `Prices whose hours run over in ${Math.round(100 * risk)} of 100 such jobs.`, prices: made };
      });
      return reply(c, report, () => pricesTable(report.prices));
    });
}

interface StoredScores {
  readonly months?: readonly MonthScores[];
  readonly verdict?: Verdict;
}

async function storedAnswers(
  tx: ShopTransaction,
  { shopRecords }: ReportBasis,
): Promise<ReadonlyMap<string, StoredAnswer>> {
  const ids = shopRecords.records.flatMap(({ quoted }) => quoted?.estimate ?? []);
  return ids.length === 0 ? new Map() : readAnswers(tx, ids);
}

function reply<T extends { readonly answer: string }>(c: Context, report: T, table: () => Table) {
  if (!(c.req.header('accept') ?? '').includes('text/csv')) return c.json(report, 200);
  return c.body(csvText(table()), 200, { 'Content-Type': 'text/csv; charset=utf-8' });
}
