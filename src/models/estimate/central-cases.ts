import type { Grade } from '../../domain/vocabulary.ts';
import { airCase, dryingRate } from '../drying-air.ts';
import { dryTerm, habitOf } from '../habits.ts';
import { type Entries, type Layout, technicianColumn, weighted } from '../layout.ts';
import { dryingEntries } from '../rows/drying-rows.ts';
import { labourEntries } from '../rows/labour-rows.ts';
import { passesEntries } from '../rows/passes-rows.ts';
import { waterEntries } from '../rows/water-rows.ts';
import type { ShopFit } from '../shop-fit.ts';
import { extractedShare } from '../terms/labour-terms.ts';
import { isExtracted, totalSurfaceM2, type WorkSection } from '../work-section.ts';
import type { PlannedWork, TechnicianOption } from './planned-work.ts';
import { extractorEntries } from './predictor-parts.ts';

/**
 * One linear predictor a model for a whole job: its sections averaged by surface, an open technician or extractor by share, the passes at
 * their means. It stands for the job where one number has to: how much of a figure is the shop's own, and what moved it.
 */
export interface CentralCases {
  readonly passes: Entries;
  readonly labour: Entries;
  /** Of the section that is likely the wettest. */
  readonly water: Entries;
  readonly drying: Entries;
  readonly wettest: number;
}

const ordinary: { readonly grade: Grade } = { grade: 'standard' };

/** @param passesMade mean passes made, one a section */
export function centralCases(
  fit: ShopFit,
  work: PlannedWork,
  passesMade: readonly number[],
  wettest: number,
): CentralCases {
  const { sections, job } = work;
  const surfaceM2 = totalSurfaceM2(sections);
  const shares = sections.map((section) => section.surfaceM2 / surfaceM2);
  const meanPasses = shares.reduce((sum, share, s) => sum + share * passesMade[s], 0);
  const { passes, labour, water, drying } = fit.models;
  const labourCase = { ...job, sections, meanPasses, ...ordinary };
  const wet = sections[wettest];
  const dry = dryOf(fit, work, wettest, passesMade[wettest]);
  return {
    passes: sections.flatMap((section, s) => [
      ...weighted(passesEntries(passes.layout, { section, ...ordinary }, null), shares[s]),
      ...personEntries(passes.layout, work, s, shares[s]),
      ...machineEntries(passes.layout, work, isExtracted(section) ? shares[s] : 0),
    ]),
    labour: [
      ...labourEntries(labour.layout, labourCase, null),
      ...sections.flatMap((_, s) => personEntries(labour.layout, work, s, shares[s])),
      ...machineEntries(labour.layout, work, extractedShare(work)),
    ],
    water: [
      ...waterEntries(water.layout, { section: wet, wetPasses: passesMade[wettest], dry, ...ordinary }, null),
      ...personEntries(water.layout, work, wettest, 1),
      ...machineEntries(water.layout, work, isExtracted(wet) ? 1 : 0),
    ],
    drying: [
      ...dryingEntries({
        ...wet,
        ...airCase(job.drying ?? {}, dryingRate(job.drying ?? {}, fit.usualAir)),
        at: work.startAt,
      }),
      ...personEntries(drying.layout, work, wettest, 1),
    ],
    wettest,
  };
}

function whoWorks(work: PlannedWork, s: number): readonly TechnicianOption[] {
  const named = work.namedTechnicians[s];
  return named === undefined ? work.technicians : [{ key: named, share: 1 }];
}

function personEntries(layout: Layout, work: PlannedWork, s: number, weight: number): Entries {
  return whoWorks(work, s).map(({ key, share }) => [technicianColumn(layout, key), weight * share] as const);
}

function machineEntries(layout: Layout, work: PlannedWork, weight: number): Entries {
  return work.machines.flatMap((machine) => weighted(extractorEntries(layout, machine), weight * machine.share));
}

function dryOf(fit: ShopFit, work: PlannedWork, s: number, wetPasses: number): number {
  const section: WorkSection = work.sections[s];
  if (section.dryPasses !== undefined) return dryTerm(section.dryPasses, wetPasses);
  return whoWorks(work, s).reduce((sum, { key, share }) => sum + share * habitOf(fit.dryHabits, key), 0);
}
