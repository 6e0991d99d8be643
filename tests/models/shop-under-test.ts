import type { Machine, Technician } from '../../src/domain/lists.ts';
import { type PlannedJob, type PlannedJobInput, plannedJob } from '../../src/domain/planned.ts';
import { type FinishedJob, type FinishedJobInput, finishedJob } from '../../src/domain/record.ts';
import { defaultShopSettings } from '../../src/domain/shop-settings.ts';
import type { EstimateContext } from '../../src/models/estimate.ts';
import { type FitInput, fitShop } from '../../src/models/fit.ts';
import type { ShopFit } from '../../src/models/shop-fit.ts';

export const now = new Date('2026-05-01T08:00:00Z');

/** Invented people and machines. */
export const technicians: readonly Technician[] = ['ann', 'ben', 'cat', 'dan'].map((key) => ({ key, name: key }));
export const machines: readonly Machine[] = (['entry', 'standard', 'high'] as const).map((grade) => ({
  key: `${grade}-one`,
  name: grade,
  kind: 'extractor',
  grade,
}));

export const context: EstimateContext = {
  now,
  timeZone: 'Etc/UTC',
  settings: defaultShopSettings,
  technicians,
  machines,
};

export function fitOf(records: readonly FinishedJob[], more: Partial<FitInput> = {}): ShopFit {
  const result = fitShop({ records, technicians, machines, now, ...more });
  if (result.status === 'failed') throw new Error(JSON.stringify(result.failures));
  return result.fit;
}

type SectionInput = PlannedJobInput['sections'][number];

const seat = { fabric: 'flat-woven', soil: 'moderate', method: 'extraction' } as const;

/** A sedan's front and rear seats, typical soil, taken out, ordinary extractor, doors open at 20 °C and 50 %; changed as said. */
export function seats(
  section: Partial<SectionInput> = {},
  job: Partial<Omit<PlannedJobInput, 'sections'>> = {},
): PlannedJob {
  return plannedJob.parse({
    bodyStyle: 'sedan',
    seatsRemoved: true,
    extractor: 'standard-one',
    drying: { aid: 'open-doors', airC: 20, rhPercent: 50 },
    ...job,
    sections: [
      { ...seat, area: 'front-seat', count: 2, ...section },
      { ...seat, area: 'rear-bench', ...section },
    ],
  });
}

type DoneSectionInput = FinishedJobInput['sections'][number];

/** A finished job like it; changed as said. */
export function done(
  ref: string,
  section: Partial<DoneSectionInput> = {},
  job: Partial<Omit<FinishedJobInput, 'sections'>> = {},
): FinishedJob {
  return finishedJob.parse({
    ref,
    finishedAt: '2026-04-01T15:00:00Z',
    bodyStyle: 'sedan',
    seatsRemoved: true,
    labour: [{ technician: 'ann', minutes: 210 }],
    extractor: 'standard-one',
    ...job,
    sections: [
      { ...seat, area: 'front-seat', count: 2, wetPasses: 2, ...section },
      { ...seat, area: 'rear-bench', wetPasses: 2, ...section },
    ],
  });
}
