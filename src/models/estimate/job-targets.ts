import type { ModelName } from '../../domain/doubts.ts';
import { airCase, dryingRate } from '../drying-air.ts';
import { beforeEntries, type Entries, type Layout } from '../layout.ts';
import { dryingEntries } from '../rows/drying-rows.ts';
import { labourEntries } from '../rows/labour-rows.ts';
import { passesEntries } from '../rows/passes-rows.ts';
import { waterEntries } from '../rows/water-rows.ts';
import type { ShopFit } from '../shop-fit.ts';
import { extractedShare, referencePasses } from '../terms/labour-terms.ts';
import { referenceWetPasses } from '../terms/water-terms.ts';
import { isExtracted, totalSurfaceM2, type WorkSection } from '../work-section.ts';
import type { PlannedWork } from './planned-work.ts';
import type { Target } from './predictor-parts.ts';

/**
 * The linear predictors that a job needs of each model: one a section, for labour one in all. Passes stand at their reference here; they are
 * drawn, and meet their coefficients draw by draw. So does the extractor's grade, which comes with the extractor of the draw.
 */
export function jobTargets(fit: ShopFit, work: PlannedWork): Readonly<Record<ModelName, readonly Target[]>> {
  const { sections, job, startAt } = work;
  const { passes, labour, water, drying } = fit.models;
  const grade = 'standard';
  const air = airCase(job.drying ?? {}, dryingRate(job.drying ?? {}, fit.usualAir));
  const ofSection = (layout: Layout, entries: (section: WorkSection) => Entries): readonly Target[] =>
    sections.map((section, s) => ({
      base: [...entries(section), ...beforeEntries(layout, startAt)],
      people: [{ named: work.namedTechnicians[s], weight: 1 }],
      extractor: isExtracted(section) ? 1 : 0,
    }));
  return {
    passes: ofSection(passes.layout, (section) => passesEntries(passes.layout, { section, grade }, null)),
    labour: [labourTarget(labour.layout, work)],
    water: ofSection(water.layout, (section) =>
      waterEntries(water.layout, { section, grade, wetPasses: referenceWetPasses, dry: 0 }, null),
    ),
    drying: ofSection(drying.layout, ({ fabric, leftIn }) => dryingEntries({ fabric, leftIn, ...air, at: startAt })),
  };
}

/** Who does what share of the minutes is not known ahead: the surface of a named person's sections stands for it. */
function labourTarget(layout: Layout, work: PlannedWork): Target {
  const { sections, job, namedTechnicians, startAt } = work;
  const surfaceM2 = totalSurfaceM2(sections);
  return {
    base: [
      ...labourEntries(layout, { ...job, sections, meanPasses: referencePasses, grade: 'standard' }, null),
      ...beforeEntries(layout, startAt),
    ],
    people: sections.map((section, s) => ({ named: namedTechnicians[s], weight: section.surfaceM2 / surfaceM2 })),
    extractor: extractedShare(work),
  };
}
