import { type DryHabits, dryHabitOf, dryTerm } from '../habits.ts';
import { sectionErrorVariance, wetTerm } from '../terms/water-terms.ts';
import { isExtracted, type WorkSection } from '../work-section.ts';
import type { ModelDraws, OptionDraws } from './model-draws.ts';
import { normalDraws } from './noise.ts';
import type { PlannedWork } from './planned-work.ts';
import type { PassesDraws } from './simulate-passes.ts';

const sectionErrorSd = Math.sqrt(sectionErrorVariance);

/** Log L/m² left in each section, one entry a draw: one error shared by the job, one of each section's own. */
export function simulateWater(
  work: PlannedWork,
  draws: ModelDraws,
  passes: readonly PassesDraws[],
  options: OptionDraws,
  habits: DryHabits,
): readonly Float64Array[] {
  return work.sections.map((section, s) => {
    const nDraws = draws.sigma.length;
    const [wetCoefficient, dryCoefficient] = draws.coefficients;
    const shared = normalDraws('waterJobError', nDraws);
    const own = normalDraws('waterSectionError', nDraws, s);
    const person = work.namedTechnicians[s];
    const technician = person === undefined ? draws.whoeverGetsIt : draws.technician(person);
    const dry = dryOf(section, work, person, options, habits);
    const { made } = passes[s];
    const base = draws.bases[s];
    const extractor = isExtracted(section) ? draws.extractor : undefined;
    return Float64Array.from({ length: nDraws }, (_, d) => {
      const effects = base[d] + technician[d] + (extractor?.[d] ?? 0);
      const work = wetCoefficient[d] * wetTerms[made[d]] + dryCoefficient[d] * dry(d, made[d]);
      return effects + work + draws.sigma[d] * shared[d] + sectionErrorSd * own[d];
    });
  });
}

const wetTerms = Float64Array.from({ length: 256 }, (_, passes) => wetTerm(passes));

/** The dry term in a draw: from the dry passes of the plan, else from the habit of whoever does it; spot work has none. */
function dryOf(
  section: WorkSection,
  work: PlannedWork,
  person: string | undefined,
  options: OptionDraws,
  habits: DryHabits,
): (draw: number, wetPasses: number) => number {
  const { dryPasses } = section;
  if (!isExtracted(section)) return () => 0;
  if (dryPasses !== undefined) return (_, wetPasses) => dryTerm(dryPasses, wetPasses);
  if (person !== undefined) return () => dryHabitOf(habits, person);
  const byOption = work.technicians.map(({ key }) => dryHabitOf(habits, key));
  return (draw) => byOption[options.technician[draw]];
}
