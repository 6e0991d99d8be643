import { z } from 'zod';

/** A shop's own mean or spread for one rule of thumb, by the rule's id. */
const ruleOverride = z.strictObject({
  mean: z.number().min(-10).max(10).optional(),
  sd: z.number().gt(0).max(10).optional(),
});

/** What a shop may set for itself; every field has a default. */
export const shopSettings = z.strictObject({
  labourRate: z.number().min(0).max(100_000).default(40).describe('money for one hour of work'),
  materials: z.number().min(0).max(1_000_000).default(10).describe('money for the materials of one job'),
  currency: z
    .string()
    .regex(/^[A-Z]{3}$/)
    .describe('three capital letters (ISO 4217), such as EUR')
    .default('EUR'),
  overrunRisk: z.number().gt(0).lt(1).default(0.2).describe('share of jobs that may run over their quoted hours'),
  units: z.enum(['si', 'us']).default('si'),
  rules: z
    .record(
      z
        .string()
        .regex(/^[A-Za-z0-9][A-Za-z0-9._:-]{0,63}$/)
        .describe('the id of a rule of thumb'),
      ruleOverride,
    )
    .default({}),
});

export type ShopSettings = z.output<typeof shopSettings>;
export const defaultShopSettings: ShopSettings = shopSettings.parse({});
