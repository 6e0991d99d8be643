import { plannedJob } from '../../domain/planned.ts';
import type { ShopFit } from '../shop-fit.ts';
import { centralCases } from './central-cases.ts';
import { type EvidenceShares, evidenceShares } from './evidence.ts';
import { plannedWork, type ShopNow } from './planned-work.ts';

/** A sedan's front and rear cloth seats, moderate soil, taken out and extracted, dried with a fan, by whoever is free. */
const seat = { fabric: 'flat-woven', soil: 'moderate', method: 'extraction' } as const;
const typicalJob = plannedJob.parse({
  bodyStyle: 'sedan',
  seatsRemoved: true,
  sections: [
    { ...seat, area: 'front-seat', count: 2 },
    { ...seat, area: 'rear-bench' },
  ],
  drying: { aid: 'fan' },
});
const passes = 2;

/** How much of each figure of one and the same usual job is the shop's own, so that nights and months can be set beside each other. */
export function typicalEvidence(fit: ShopFit, shop: ShopNow): EvidenceShares {
  const work = plannedWork(fit, typicalJob, shop);
  const passesMade = work.sections.map(() => passes);
  return evidenceShares(fit, centralCases(fit, work, passesMade, 0));
}
