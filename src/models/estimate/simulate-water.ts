import { dryTerm, type Habits, habitOf } from '../habits.ts';
import type { ShopFit } from '../shop-fit.ts';
import { sectionErrorSd, wetTerm } from '../terms/water-terms.ts';
import { isExtracted, type WorkSection } from '../work-section.ts';
import { addDraws } from './draw-arrays.ts';
import type { ModelDraws } from './model-draws.ts';
import { normalDraws } from './noise.ts';
import type { OptionDraws } from './option-draws.ts';
import type { PlannedWork } from './planned-work.ts';
import type { PassesDraws } from './simulate-passes.ts';

/** Log L/m² left in each section, one entry a draw: one error shared by the job, one of each section's own. */
export function simulateWater(
  work: PlannedWork,
  draws: ModelDraws,
  passes: readonly PassesDraws[],
  options: OptionDraws,
  { dryHabits, sectionSpread }: Pick<ShopFit, 'dryHabits' | 'sectionSpread'>,
): readonly Float64Array[] {
  const nDraws = draws.sigma.length;
  return work.sections.map((section, s) => {
    const person = work.namedTechnicians[s];
    const logLitres = draws.levels[s].slice();
    addPasses(logLitres, draws, passes[s].made, dryOf(section, person, options, dryHabits));
    addDraws(logLitres, normalDraws('waterJobError', nDraws), 1, draws.sigma);
    return addDraws(logLitres, normalDraws('waterSectionError', nDraws, s), sectionErrorSd(section, sectionSpread));
  });
}

/** Wet and dry passes meet their drawn coefficients. */
function addPasses(logLitres: Float64Array, draws: ModelDraws, made: Uint8Array, dry: DryOf): void {
  const [wetCoefficient, dryCoefficient] = draws.coefficients;
  for (let d = 0; d < logLitres.length; d++)
    logLitres[d] += wetCoefficient[d] * wetTerms[made[d]] + dryCoefficient[d] * dry(d, made[d]);
}

type DryOf = (draw: number, wetPasses: number) => number;

const wetTerms = Float64Array.from({ length: 256 }, (_, passes) => wetTerm(passes));

/** The dry term in a draw: from the dry passes of the plan, else from the habit of whoever does it; spot work has none. */
function dryOf(section: WorkSection, person: string | undefined, options: OptionDraws, habits: Habits): DryOf {
  const { dryPasses } = section;
  if (!isExtracted(section)) return () => 0;
  if (dryPasses !== undefined) return (_, wetPasses) => dryTerm(dryPasses, wetPasses);
  if (person !== undefined) return () => habitOf(habits, person);
  const byOption = options.options.map(({ technician }) => habitOf(habits, technician));
  return (draw) => byOption[options.option[draw]];
}
