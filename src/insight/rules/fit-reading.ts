import { z } from 'zod';
import type { ModelName } from '../../domain/doubts.ts';
import { storedRule } from '../../models/fit-codec.ts';

/** What the summary stored with a fit tells people. */
export type FitReading = z.output<typeof fitReading>;
export type ModelReading = FitReading['models'][ModelName];

/** A stored summary as this version of the program reads it; undefined where the fit failed or another version wrote it. */
export function readFitSummary(summary: unknown): FitReading | undefined {
  const read = fitReading.safeParse(summary);
  return read.success ? read.data : undefined;
}

const spread = z.object({ sd: z.number(), p05: z.number(), p50: z.number(), p95: z.number() });
const effect = spread.extend({ key: z.string() });
const model = z.object({
  recordsUsed: z.number(),
  leftOut: z.array(z.object({ ref: z.string(), reason: z.string() })),
  terms: z.array(spread.extend({ term: z.string(), rule: z.object({ mean: z.number(), sd: z.number() }) })),
  technicians: z.array(effect),
  machines: z.array(effect),
  spreadOfTechnicians: spread,
  spreadOfMachines: spread.nullable(),
  sigma: spread,
});

const fitReading = z.object({
  jobs: z.number(),
  models: z.object({ passes: model, labour: model, water: model, drying: model }),
  rules: z.array(storedRule),
  /** Fits made before these were kept have none. */
  givingUp: z.array(z.object({ gaveUp: z.number(), wentOn: z.number() })).optional(),
  secondPasses: z.object({ people: z.object({ have: z.number(), haveNot: z.number() }) }).optional(),
});
