import { z } from 'zod';
import { areas, dryingAids } from '../domain/vocabulary.ts';
import { packedLength } from '../inference/cholesky.ts';
import type { Posterior } from '../inference/types.ts';
import { decodeDoubles, encodeDoubles } from './base64-doubles.ts';
import { columnCount, type Layout } from './layout.ts';
import { type FittedModel, modelNames, type ShopFit } from './shop-fit.ts';

/** Raised whenever a fit of before cannot be read as one of now: the next night fits anew. */
export const fitVersion = 33;

/** A fit as text, to be stored. */
export function encodeShopFit(fit: ShopFit): string {
  const models = mapModels(fit.models, (model) => ({ ...model, posterior: encodePosterior(model.posterior) }));
  const { onWater, rest } = fit.dryingGivenWater;
  const dryingGivenWater = { onWater: encodeDoubles(onWater), rest: encodePosterior(rest) };
  return JSON.stringify({ version: fitVersion, ...fit, models, dryingGivenWater });
}

/**
 * A fit from its text: the same numbers to the last bit.
 * Throws where the text is not a fit of this version, or its parts do not fit together: nothing is guessed.
 */
export function decodeShopFit(text: string): ShopFit {
  const { version: _, models: encoded, dryingGivenWater, ...fit } = encodedFit.parse(JSON.parse(text));
  const models = mapModels(encoded, decodeModel);
  const { water, drying } = models;
  const onWater = doubles(
    dryingGivenWater.onWater,
    columnCount(drying.layout) * columnCount(water.layout),
    'dryingGivenWater.onWater',
  );
  const rest = decodePosterior(dryingGivenWater.rest, drying.layout);
  return { ...fit, models, dryingGivenWater: { onWater, rest } };
}

/** The same, but undefined where the text is a fit of another version of the program. */
export function readShopFit(text: string): ShopFit | undefined {
  const { version } = z.looseObject({ version: z.unknown() }).parse(JSON.parse(text));
  return version === fitVersion ? decodeShopFit(text) : undefined;
}

type EncodedPosterior = z.output<typeof encodedPosterior>;
type EncodedModel = z.output<typeof encodedModel>;

function encodePosterior(posterior: Posterior): EncodedPosterior {
  const points = posterior.points.map((point) => ({
    ...point,
    tau: encodeDoubles(point.tau),
    mode: encodeDoubles(point.mode),
    precisionFactor: encodeDoubles(point.precisionFactor),
  }));
  return { ...posterior, points };
}

function decodeModel(model: EncodedModel): FittedModel {
  return { ...model, posterior: decodePosterior(model.posterior, model.layout) };
}

function decodePosterior(posterior: EncodedPosterior, layout: Layout): Posterior {
  const { nColumns, name } = posterior;
  if (nColumns !== columnCount(layout))
    throw new RangeError(`${name}: ${nColumns} columns, but its layout has ${columnCount(layout)}`);
  const points = posterior.points.map((point) => ({
    ...point,
    tau: doubles(point.tau, layout.machines === undefined ? 1 : 2, `${name}.tau`),
    mode: doubles(point.mode, nColumns, `${name}.mode`),
    precisionFactor: doubles(point.precisionFactor, packedLength(nColumns), `${name}.precisionFactor`),
  }));
  return { ...posterior, points };
}

function doubles(text: string, length: number, what: string): Float64Array {
  const values = decodeDoubles(text);
  if (values.length !== length) throw new RangeError(`${what}: ${values.length} numbers where ${length} belong`);
  return values;
}

function mapModels<A, B>(models: Readonly<Record<(typeof modelNames)[number], A>>, map: (model: A) => B) {
  const { passes, labour, water, drying } = models;
  return { passes: map(passes), labour: map(labour), water: map(water), drying: map(drying) };
}

const tally = z.object({ jobs: z.int(), cases: z.int(), silent: z.int() });
const habits = z.object({ shop: z.number(), byTechnician: z.record(z.string(), z.number()) });
const usualValue = z.object({ mean: z.number(), sd: z.number() });
const airValues = z.object({ airC: usualValue, rhPercent: usualValue });
const secondPassHabit = z.object({ chance: z.number(), certainty: z.number(), sections: z.int() });
const stops = z.array(z.object({ gaveUp: z.number(), wentOn: z.number() })).length(7);
const share = z.object({ key: z.string(), share: z.number() });

const encodedPosterior = z.object({
  name: z.string(),
  nColumns: z.int(),
  error: z.union([
    z.object({ kind: z.literal('normal') }),
    z.object({ kind: z.literal('student-t'), degreesOfFreedom: z.number() }),
  ]),
  points: z
    .array(
      z.object({
        weight: z.number(),
        tau: z.string(),
        sigma: z.number(),
        mode: z.string(),
        precisionFactor: z.string(),
      }),
    )
    .min(1),
  trace: z.object({
    nObs: z.int(),
    newtonIterations: z.int(),
    marginalEvaluations: z.int(),
    gradientNorm: z.number(),
    logMarginal: z.number(),
    settings: z.record(z.string(), z.union([z.number(), z.string()])),
  }),
});

const farOff = z.object({
  seen: z.number(),
  unit: z.string(),
  expected: z.object({ p05: z.number(), p95: z.number() }),
});

const encodedModel = z.object({
  layout: z.object({
    terms: z.array(z.string()),
    technicians: z.array(z.string()),
    machines: z.array(z.string()).optional(),
    steps: z.array(z.string()).optional(),
    changes: z.array(z.string()).optional(),
  }),
  posterior: encodedPosterior,
  used: z.int(),
  standIn: z.object({ from: z.enum(['the fit before', 'rules of thumb']), reason: z.string() }).optional(),
  leftOut: z.array(z.object({ ref: z.string(), reason: z.string(), farOff: farOff.optional() })),
  odd: z.array(z.object({ ref: z.string(), reason: z.string(), farOff })),
});

/** A row of the rules of thumb as it is stored with a fit. */
export const storedRule = z.object({
  id: z.string(),
  model: z.enum([...modelNames, 'giving-up']),
  kind: z.enum(['coefficient', 'spread', 'log-sigma', 'chance']),
  term: z.string(),
  statement: z.string(),
  mean: z.number(),
  sd: z.number(),
  provenance: z.string(),
});

const encodedFit = z.object({
  version: z.literal(fitVersion),
  fittedAt: z.string(),
  nJobs: z.int(),
  rules: z.array(storedRule),
  models: z.object({ passes: encodedModel, labour: encodedModel, water: encodedModel, drying: encodedModel }),
  dryingGivenWater: z.object({ onWater: z.string(), rest: encodedPosterior }),
  givingUp: z.object({ everybody: stops, byTechnician: z.record(z.string(), stops) }),
  comebacks: tally.extend({ byMethod: z.object({ spot: tally, extraction: tally, 'spot-then-extraction': tally }) }),
  surfaceRatios: z.record(z.enum(areas), z.number()),
  vacuumHabits: habits,
  dryHabits: habits,
  usualAir: airValues.extend({ byAid: z.partialRecord(z.enum(dryingAids), airValues) }),
  tanks: z.object({ noise: z.number(), through: z.number() }),
  sectionSpread: z.number(),
  readingSteps: z.array(z.object({ since: z.number(), stepL: z.number(), sectionStepL: z.number() })),
  looks: z.object({
    wetUntil: z.number(),
    dryAlone: z.array(z.object({ technician: z.string(), from: z.string(), until: z.string().nullable() })),
  }),
  nights: z.object({
    timeZone: z.string(),
    logRate: z.number(),
    logRateSd: z.number(),
    workEnds: z.array(z.number()).min(1),
  }),
  secondPasses: z.object({
    people: z.object({ have: z.number(), haveNot: z.number() }),
    anyone: z.object({ light: z.number(), soiled: z.number() }),
    byTechnician: z.record(
      z.string(),
      z.object({ light: secondPassHabit.optional(), soiled: secondPassHabit.optional() }),
    ),
  }),
  technicianShares: z.array(share),
  machineShares: z.array(share),
});
