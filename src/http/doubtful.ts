import { createRoute, z } from '@hono/zod-openapi';
import { guarded } from '../domain/csv-cells.ts';
import type { FinishedJob } from '../domain/record.ts';
import { type DoubtfulReport, doubtedRefs, doubtfulReport, onlyMendable } from '../insight/doubtful.ts';
import { modelNames } from '../models/shop-fit.ts';
import { confirmRecord, readDoubted, readStandings } from '../store/doubtful.ts';
import { readRecord } from '../store/records.ts';
import { inShop, type ShopTransaction } from '../store/shop-scope.ts';
import { requireRole } from './auth.ts';
import { type AppDeps, newRouter } from './env.ts';
import { problemResponses, refusal } from './problem.ts';
import { noSuchRecord } from './records-answers.ts';
import { recordExample, refParam } from './records-schemas.ts';
import { reply } from './reports.ts';
import { statusOf } from './status.ts';

const doubt = z.object({
  reason: z.string(),
  figure: z.enum(modelNames).openapi({ description: 'whose figure it is' }),
  leftOutOf: z.array(z.enum(modelNames)).readonly().openapi({ description: 'none where it is read all the same' }),
  seen: z.number().optional(),
  unit: z.string().optional(),
  expected: z.object({ p05: z.number(), p95: z.number() }).optional().openapi({
    description: 'the 90 % range that the shop’s other jobs let expect; absent where the record contradicts itself',
  }),
});

const report = z.object({
  answer: z.string(),
  records: z
    .array(
      z.object({
        ref: z.string(),
        finishedAt: z.iso.datetime(),
        doubts: z.array(doubt).readonly(),
        state: z.enum(['open', 'confirmed', 'changed']),
        canBeConfirmed: z.boolean(),
        says: z.string(),
      }),
    )
    .readonly(),
});

const example: z.infer<typeof report> = {
  answer: '1 record was left out of a model by the latest fit. …',
  records: [
    {
      ref: recordExample.ref,
      finishedAt: '2025-03-04T14:20:00.000Z',
      doubts: [
        {
          reason: '195 hours of labour, where 2.1 to 4.4 hours were to be expected. …',
          figure: 'labour',
          leftOutOf: ['labour'],
          seen: 195,
          unit: 'hours',
          expected: { p05: 2.1043, p95: 4.4291 },
        },
      ],
      state: 'open',
      canBeConfirmed: true,
      says: `${recordExample.ref}: 195 hours of labour, … Mend the record, or confirm that it was so.`,
    },
  ],
};

const list = createRoute({
  tags: ['reports'],
  method: 'get',
  path: '/reports/doubtful',
  summary: 'Records that the latest fit did not believe or found odd, why, and what it expected',
  description:
    'Such a record is kept as it is. What cannot be, or hardly, is left out of the models that would read it; what is only odd is read. Mend it with `PUT /records/{ref}`, or say with `POST /records/{ref}/confirm` that it was so.',
  middleware: requireRole('desk'),
  responses: {
    200: {
      description: 'Newest first; as a table with Accept: text/csv',
      content: {
        'application/json': { schema: report, example },
        'text/csv': { schema: z.string(), example: 'ref,finished_at,state,left_out_of,reason' },
      },
    },
    ...problemResponses(401, 403, 429),
  },
});

const confirmed = z.object({ ref: z.string(), says: z.string() });
const confirmedBody = (ref: string) => ({
  ref,
  says: 'Confirmed: from the next fit on the models read it however odd it is, until it is replaced.',
});

const confirm = createRoute({
  tags: ['records'],
  method: 'post',
  path: '/records/{ref}/confirm',
  summary: 'Say that a doubtful record was so: the models read it from the next fit on',
  description:
    'Holds until the record is replaced. What contradicts itself (more recovered than sprayed) can only be mended: 409.',
  middleware: requireRole('desk'),
  request: { params: refParam },
  responses: {
    200: {
      description: 'Noted, with the key and the time; the same where it was before',
      content: { 'application/json': { schema: confirmed, example: confirmedBody(recordExample.ref) } },
    },
    ...problemResponses(401, 403, 404, 409, 422, 429),
  },
});

/** What the models did not believe, and how somebody stands by it. */
export function doubtfulRoutes({ db, now }: AppDeps) {
  return newRouter()
    .openapi(list, async (c) => {
      const { report: found } = await inShop(db, c.get('shop').shopId, readDoubtful);
      return reply(c, found, () => tableOf(found));
    })
    .openapi(confirm, async (c) => {
      const { ref } = c.req.valid('param');
      const { shopId, keyId } = c.get('shop');
      const contradictions = await inShop(db, shopId, (tx) => confirmDoubtful(tx, ref, keyId, now()));
      if (contradictions === undefined) return noSuchRecord(ref);
      if (contradictions.length === 0) return c.json(confirmedBody(ref), 200);
      const what = `record ${JSON.stringify(ref)} can only be mended, with PUT: no model reads what does not go together`;
      return refusal(statusOf.conflict, `${contradictions.join('; ')}; ${what}`);
    });
}

/** Notes that a record was so. Returns what in it contradicts itself, where it could not; undefined where there is none of this ref. */
export async function confirmDoubtful(
  tx: ShopTransaction,
  ref: string,
  by: string,
  at: Date,
): Promise<readonly string[] | undefined> {
  const stored = await readRecord(tx, ref);
  if (!stored) return undefined;
  const { records } = doubtfulReport(await doubtedByFit(tx), await readStandings(tx, [ref]));
  const contradictions = onlyMendable(stored.record, records[0]);
  if (contradictions.length === 0) await confirmRecord(tx, ref, by, at);
  return contradictions;
}

/** The doubtful records with what stands in each. */
export async function readDoubtful(
  tx: ShopTransaction,
): Promise<{ readonly report: DoubtfulReport; readonly jobs: readonly FinishedJob[] }> {
  const doubted = await doubtedByFit(tx);
  const standings = await readStandings(tx, doubtedRefs(doubted ?? {}));
  return { report: doubtfulReport(doubted, standings), jobs: standings.map(({ record }) => record) };
}

/** Written by a run of this program, or absent. */
async function doubtedByFit(tx: ShopTransaction) {
  return (await readDoubted(tx)) as Parameters<typeof doubtfulReport>[0];
}

function tableOf({ records }: DoubtfulReport) {
  const rows = records.flatMap(({ ref, finishedAt, state, doubts }) =>
    doubts.map(({ leftOutOf, reason }) => [guarded(ref), finishedAt, state, leftOutOf.join(';'), guarded(reason)]),
  );
  return [['ref', 'finished_at', 'state', 'left_out_of', 'reason'], ...rows];
}
