import type { ErrorDistribution } from '../../inference/types.ts';
import { extractedShare, passesTerm } from '../terms/labour-terms.ts';
import { contentMinutes, workContent } from '../work-content.ts';
import { totalSurfaceM2 } from '../work-section.ts';
import type { ModelDraws } from './model-draws.ts';
import { normalDraws, studentErrors } from './noise.ts';
import type { PlannedWork } from './planned-work.ts';
import type { PassesDraws } from './simulate-passes.ts';

/** Person-hours of the job, one a draw, for the passes made in that draw. */
export function simulateLabour(
  work: PlannedWork,
  draws: ModelDraws,
  passes: readonly PassesDraws[],
  error: ErrorDistribution,
): Float64Array {
  const { sections, job } = work;
  const content = workContent(sections, job.seatsRemoved);
  const surfaceM2 = totalSurfaceM2(sections);
  const share = sections.map((section) => section.surfaceM2 / surfaceM2);
  const extracted = extractedShare(work);
  const [base, [passesCoefficient]] = [draws.bases[0], draws.coefficients];
  const nDraws = base.length;
  const errors =
    error.kind === 'student-t' ? studentErrors(error.degreesOfFreedom, nDraws) : normalDraws('labourError', nDraws);
  const people = peopleEffect(work, draws, share);
  const made = new Float64Array(sections.length);
  return Float64Array.from({ length: nDraws }, (_, d) => {
    let meanPasses = 0;
    for (let s = 0; s < made.length; s++) {
      made[s] = passes[s].made[d];
      meanPasses += share[s] * made[s];
    }
    const effects =
      base[d] + people[d] + extracted * draws.extractor[d] + passesCoefficient[d] * passesTerm(meanPasses);
    return (contentMinutes(content, made) / 60) * Math.exp(effects + draws.sigma[d] * errors[d]);
  });
}

/** Who does what share of the minutes is not known ahead: the surface of a named person's sections stands for it. */
function peopleEffect(work: PlannedWork, draws: ModelDraws, share: readonly number[]): Float64Array {
  const { namedTechnicians } = work;
  if (namedTechnicians.every((key) => key === undefined)) return draws.whoeverGetsIt;
  const effects = namedTechnicians.map((key) => (key === undefined ? draws.whoeverGetsIt : draws.technician(key)));
  return draws.whoeverGetsIt.map((_, d) => effects.reduce((sum, effect, s) => sum + share[s] * effect[d], 0));
}
