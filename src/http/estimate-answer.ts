import { z } from '@hono/zod-openapi';
import { plannedJob } from '../domain/planned.ts';
import { defaultShopSettings } from '../domain/shop-settings.ts';
import { areas, fabrics } from '../domain/vocabulary.ts';
import { estimateJob } from '../models/estimate.ts';
import { fitShop } from '../models/fit.ts';
import { plannedExample } from './estimate-schemas.ts';

const chance = z.number().min(0).max(1);
const quantiles = {
  p05: z.number(),
  p10: z.number(),
  p25: z.number(),
  p50: z.number(),
  p75: z.number(),
  p80: z.number(),
  p90: z.number(),
  p95: z.number(),
};
const figure = z.object({ ...quantiles, mean: z.number() });
const evidence = {
  evidenceShare: chance.openapi({ description: '0: rule of thumb alone; towards 1: the shop’s own records' }),
};
const passChances = z.array(
  z.object({ passes: z.int(), orMore: z.boolean(), chance }).openapi({ description: 'orMore: this many or more' }),
);
const narrowing = z.object({
  piece: z.enum(['technician', 'extractor', 'startAt', 'airC', 'rhPercent', 'aid', 'litres']),
  figure: z.enum(['passes', 'labourHours', 'waterLPerM2', 'dryHours']),
  share: chance.openapi({ description: 'how much narrower the range is to be expected' }),
  text: z.string(),
});

const explanation = z.object({
  typical: z.number().openapi({ description: 'a sedan’s seats, moderate soil, flat weave, taken out, extracted' }),
  parts: z.array(
    z.object({
      driver: z.string(),
      factor: z.number(),
      adds: z.number().openapi({ description: 'typical and all of these add up to shown' }),
    }),
  ),
  shown: z.number(),
  text: z.string().openapi({ description: 'the same in one sentence' }),
});

const cautions = z.array(z.object({ id: z.string(), text: z.string(), because: z.string() }));
const difference = z.object({ p05: z.number(), p50: z.number(), p95: z.number(), chanceLess: chance });
const alternativeAnswer = z.object({
  label: z.string(),
  labourHours: difference,
  passes: difference,
  waterLPerM2: difference,
  dryHours: difference,
  quoteHours: z.number(),
  price: z.number(),
  priceDifference: z.number(),
  currency: z.string(),
  cautions,
});

/** What an estimate answers; `id` reads it again. Hours, litres, square metres; chances 0 to 1. */
export const answerSchema = z
  .object({
    id: z.uuid(),
    madeAt: z.iso.datetime(),
    fitId: z.uuid().nullable().openapi({ description: 'the fit that made it; null: the rules of thumb alone' }),
    basis: z.enum(['rules of thumb', 'rules of thumb and own records']),
    jobsLearntFrom: z.int(),
    sections: z.array(
      z.object({
        area: z.enum(areas),
        fabric: z.enum(fabrics),
        surfaceM2: z.number(),
        surfaceFrom: z.enum(['request', 'table']),
        passesNeeded: passChances,
        meanPassesNeeded: z.number(),
        passesMade: passChances,
        meanPassesMade: z.number(),
        chanceOfGivingUp: chance,
        waterLPerM2: figure,
      }),
    ),
    passes: z.object(evidence),
    labourHours: z
      .object({ ...quantiles, meanOfMiddle98: z.number(), ...evidence })
      .openapi({ description: 'person-hours; the mean leaves out the wildest hundredth at either end' }),
    waterLPerM2: figure.extend(evidence).openapi({ description: 'left in the wettest section' }),
    waterLitres: figure.openapi({ description: 'left in over all sections' }),
    dryHours: figure
      .extend({ chanceOver24: chance, chanceOver48: chance, ...evidence })
      .openapi({ description: 'from the end of the work until the slowest section is dry' }),
    readyBy: z
      .object({
        workEnds: z.string(),
        p05: z.string(),
        p10: z.string(),
        p25: z.string(),
        p50: z.string(),
        p75: z.string(),
        p80: z.string(),
        p90: z.string(),
        p95: z.string(),
      })
      .nullable()
      .openapi({ description: 'in the shop’s time zone, work without a break from startAt; null without one' }),
    quote: z.object({
      hours: z.number().openapi({ description: 'run over in `risk` of such jobs' }),
      risk: chance,
      labourRate: z.number(),
      labourPrice: z.number(),
      materials: z.number(),
      price: z.number(),
      currency: z.string(),
    }),
    comebackRisk: z
      .object({ chance, p05: chance, p95: chance, jobs: z.int(), cases: z.int(), source: z.string() })
      .openapi({
        description:
          '`jobs` by this method, finished between the shop’s first and last with a noted outcome, and four weeks before the fit or earlier; those with nothing noted count as not come back, `source` says how many',
      }),
    drivers: z.object({
      passes: explanation,
      labourHours: explanation,
      waterLPerM2: explanation,
      dryHours: explanation,
    }),
    wouldNarrow: z
      .array(narrowing)
      .openapi({ description: 'what the request left open, by how much it would narrow a range; none under 3 %' }),
    cautions,
    alternatives: z.array(alternativeAnswer).openapi({ description: 'each against the plan, by common draws' }),
  })
  .openapi('Estimate');

/** Made by the program itself from the rules of thumb, so that it cannot go stale. */
export const answerExample: z.infer<typeof answerSchema> = {
  id: '0b6f9a7e-52f3-4a53-9d0c-7f3f5a1f2c44',
  madeAt: '2025-03-07T16:20:00.000Z',
  fitId: null,
  ...exampleEstimate(),
  alternatives: [],
};

function exampleEstimate() {
  const now = new Date('2025-03-07T16:20:00Z');
  const machines = [{ key: 'drum-a', name: 'Drum A', kind: 'extractor', grade: 'standard' }] as const;
  const result = fitShop({ records: [], technicians: [], machines, now });
  if (result.status !== 'fitted') throw new Error('the rules of thumb alone could not be used');
  const context = { now, technicians: [], machines, timeZone: 'Europe/London', settings: defaultShopSettings };
  const { sections, cautions, wouldNarrow, ...estimate } = estimateJob(
    result.fit,
    plannedJob.parse(plannedExample),
    context,
  );
  return {
    ...estimate,
    sections: [...sections].map(mutable),
    cautions: [...cautions],
    wouldNarrow: [...wouldNarrow],
    drivers: mutable(estimate.drivers),
  };
}

/** JSON in the shape that the schema's type has: without readonly. */
function mutable<T>(value: T): Mutable<T> {
  return structuredClone(value) as Mutable<T>;
}

type Mutable<T> = T extends readonly (infer U)[]
  ? Mutable<U>[]
  : T extends object
    ? { -readonly [K in keyof T]: Mutable<T[K]> }
    : T;
