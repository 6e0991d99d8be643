import { z } from 'zod';
import { listKey } from './record.ts';
import { grades } from './vocabulary.ts';

const span = { from: z.iso.date().optional(), until: z.iso.date().optional() };

export const technician = z.strictObject({ key: listKey, name: z.string().min(1).max(120), ...span });

export const machine = z.strictObject({
  key: listKey,
  name: z.string().min(1).max(120),
  kind: z.literal('extractor'),
  grade: z.enum(grades),
  waterLiftKpa: z.number().gt(0).max(100).optional(),
  airflowM3h: z.number().gt(0).max(10_000).optional(),
  heated: z.boolean().optional(),
  price: z.number().min(0).max(10_000_000).optional(),
  ...span,
});

export type Technician = z.output<typeof technician>;
export type Machine = z.output<typeof machine>;
