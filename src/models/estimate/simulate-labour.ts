import type { ErrorDistribution } from '../../inference/types.ts';
import { labourSpread, passesTerm } from '../terms/labour-terms.ts';
import { contentMinutes, type WorkContent, workContent } from '../work-content.ts';
import { totalSurfaceM2 } from '../work-section.ts';
import { addDraws } from './draw-arrays.ts';
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
  const surfaceM2 = totalSurfaceM2(sections);
  const share = sections.map((section) => section.surfaceM2 / surfaceM2);
  const logEffects = draws.levels[0].slice();
  const nDraws = logEffects.length;
  addDraws(logEffects, labourErrors(error, nDraws), labourSpread(sections), draws.sigma);
  return overContent(logEffects, draws.coefficients[0], passes, workContent(sections, job.seatsRemoved), share);
}

/** Hours = work content × exp(effects), both with the passes of the draw. */
function overContent(
  logEffects: Float64Array,
  passesCoefficient: Float64Array,
  passes: readonly PassesDraws[],
  content: WorkContent,
  share: readonly number[],
): Float64Array {
  const made = new Float64Array(share.length);
  const hours = new Float64Array(logEffects.length);
  for (let d = 0; d < hours.length; d++) {
    let meanPasses = 0;
    for (let s = 0; s < made.length; s++) {
      made[s] = passes[s].made[d];
      meanPasses += share[s] * made[s];
    }
    const log = logEffects[d] + passesCoefficient[d] * passesTerm(meanPasses);
    hours[d] = (contentMinutes(content, made) / 60) * Math.exp(log);
  }
  return hours;
}

function labourErrors(error: ErrorDistribution, nDraws: number): Float64Array {
  return error.kind === 'student-t'
    ? studentErrors(error.degreesOfFreedom, nDraws)
    : normalDraws('labourError', nDraws);
}
