import { createRoute, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { upgradeRequest } from '../insight/machines/upgrade.ts';
import { requireRole } from './auth.ts';
import { type AppEnv, newRouter } from './env.ts';
import { faultsProblem, problemResponses, refusal } from './problem.ts';
import { csvText } from './records-csv-text.ts';
import type { NoReport, ReportReaders } from './report-readers.ts';
import {
  comebackTable,
  machinesTable,
  pricesTable,
  quotesTable,
  recordingTable,
  type Table,
  trackTable,
  upgradeTable,
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

const baseline = z.string().max(64).optional().openapi({ example: 'drum-a' });

const wetness = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/wetness',
  summary: 'Who leaves too much water in, against the others on the same work',
  description: 'For coaching. Nobody is named where all do alike, or on fewer than eight measured jobs.',
  middleware: requireRole('desk'),
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
  middleware: requireRole('desk'),
  request: { query: z.strictObject({ baseline }) },
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
  description: 'Its grade is needed, or its suction or airflow, which the grade is then taken from.',
  middleware: requireRole('desk'),
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
  request: { query: z.strictObject({ risk }) },
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
  request: { query: z.strictObject({ risk }) },
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
    ...reportOf(
      '22 of 640 jobs came back (90 % range 2.4 % to 4.8 %); 310 of the 640 count as not come back because nothing was noted within four weeks. …',
      { byMethod: [] },
    ),
    ...problemResponses(401, 403, 429),
  },
});

const track = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/track-record',
  summary: 'Forecasts scored on jobs that they had not seen, month by month, against the rule of thumb',
  description:
    'Who did it, the extractor, how it was dried and the air are taken from the record; an estimate that leaves them open knows less, and says so by wider ranges.',
  middleware: requireRole('desk'),
  responses: {
    ...reportOf('Hours: 388 of 475 inside the 80 % range: as it should be. 20 % less off than the rule of thumb …', {
      months: [],
    }),
    ...problemResponses(401, 403, 429),
  },
});

const recording = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/what-to-record',
  summary: 'Which records would teach most next: on whose jobs to read the tanks, where to note drying',
  description:
    'What ten more readings of a kind would narrow, computed from what estimates are made from now; the answer says where that has not read much of what is recorded. People are named.',
  middleware: requireRole('desk'),
  responses: {
    ...reportOf(
      'What would teach most next: Read the tanks, litres sprayed and recovered, on ten more jobs of Ann: …',
      { suggestions: [] },
    ),
    ...problemResponses(401, 403, 429),
  },
});

/** The shop's questions, each answered in words with its figures, or as a table. */
export function reportRoutes(reports: ReportReaders) {
  const shopOf = (c: Context<AppEnv>) => c.get('shop').shopId;
  return newRouter(upgradeRequest, z.object({ risk, baseline }))
    .openapi(wetness, async (c) => {
      const report = await reports.wetness(shopOf(c));
      return reply(c, report, () => wetnessTable(report));
    })
    .openapi(machines, async (c) => {
      const report = await reports.machines(shopOf(c), c.req.valid('query').baseline);
      if ('whyNot' in report) return notMade(report);
      return reply(c, report, () => machinesTable(report));
    })
    .openapi(upgrade, async (c) => {
      const report = await reports.upgrade(shopOf(c), c.req.valid('json'));
      if ('whyNot' in report) return notMade(report);
      return reply(c, report, () => upgradeTable(report));
    })
    .openapi(quotes, async (c) => {
      const report = await reports.quotes(shopOf(c), c.req.valid('query').risk);
      return reply(c, report, () => quotesTable(report));
    })
    .openapi(comebacks, async (c) => {
      const report = await reports.comebacks(shopOf(c));
      return reply(c, report, () => comebackTable(report));
    })
    .openapi(track, async (c) => {
      const report = await reports.trackRecord(shopOf(c));
      return reply(c, report, () => trackTable(report));
    })
    .openapi(recording, async (c) => {
      const report = await reports.whatToRecord(shopOf(c));
      return reply(c, report, () => recordingTable(report));
    })
    .openapi(prices, async (c) => {
      const { risk: taken, prices: list } = await reports.prices(shopOf(c), c.req.valid('query').risk);
      const answer = `Prices whose hours run over in ${Math.round(100 * taken)} of 100 such jobs.`;
      return reply(c, { answer, prices: list }, () => pricesTable(list));
    });
}

/** In words and figures, or as a table where that is asked for. */
export function reply<T>(c: Context, report: T, table: () => Table) {
  if (!(c.req.header('accept') ?? '').includes('text/csv')) return c.json(report, 200);
  return c.body(csvText(table()), 200, { 'Content-Type': 'text/csv; charset=utf-8' });
}

function notMade({ whyNot, faults }: NoReport) {
  return faults ? faultsProblem(statusOf.notFound, faults) : refusal(statusOf.notFound, whyNot);
}
