import { z } from '@hono/zod-openapi';
import { type PlannedJobInput, plannedJob } from '../domain/planned.ts';

/** The planned job is checked by its own rules, all at once; here it is only described. */
export const plannedBody = z.unknown().openapi('PlannedJob', plannedDescription());

export const plannedExample: PlannedJobInput = {
  bodyStyle: 'sedan',
  modelYear: 2016,
  seatsRemoved: true,
  extractor: 'drum-a',
  startAt: '2025-03-10T08:30:00+00:00',
  sections: [
    { area: 'front-seat', count: 2, fabric: 'flat-woven', soil: 'moderate', method: 'extraction' },
    { area: 'rear-bench', fabric: 'flat-woven', soil: 'heavy', stains: ['drink'], method: 'spot-then-extraction' },
  ],
  drying: { aid: 'fan', airC: 20, rhPercent: 50 },
};

function plannedDescription(): object {
  const { $schema: _, ...schema } = z.toJSONSchema(plannedJob, { io: 'input', target: 'draft-2020-12' });
  const description =
    'A planned job: as a finished one, without passes, minutes, checks and outcome. Unknown fields are refused. ' +
    'Hours until dry become clock times where `startAt` is given.';
  return { ...schema, description };
}
