import { randomGenerator } from '../../src/inference/random.ts';
import type { RegressionProblem } from '../../src/inference/types.ts';
import { smallProblem } from './support.ts';

/** How the rows are seen; `mixed` has exact, interval, left and right censored rows together. */
export type Kind = 'exact' | 'student-t' | 'censored' | 'added-variance' | 'mixed';

export const TAU_SCALES = [0.4, 0.3] as const;
export const SIGMA = { logMean: Math.log(0.4), logSd: 0.4 } as const;
const LEVELS = [5, 3] as const;
const FIXED_SD = [1, 0.5, 0.5] as const;
const FIXED_MEAN = [0.4, 0.1, 0] as const;

/** What a problem was simulated from, in the order of its columns. */
export interface Truth {
  readonly coefficients: readonly number[];
  readonly tau: readonly number[];
  readonly sigma: number;
}

export function groupedProblem(kind: Kind, nRows: number, seed: number): RegressionProblem {
  return simulated(kind, nRows, seed).problem;
}

/** Three fixed terms and two groups, everything drawn from the priors of the problem itself. */
export function simulated(kind: Kind, nRows: number, seed: number): { problem: RegressionProblem; truth: Truth } {
  const generator = randomGenerator(seed);
  const tau = TAU_SCALES.map((scale) => scale * Math.abs(generator.normal()));
  const sigma = Math.exp(SIGMA.logMean + SIGMA.logSd * generator.normal());
  const fixed = FIXED_SD.map((sd, j) => FIXED_MEAN[j] + sd * generator.normal());
  const levels = LEVELS.flatMap((count, g) => Array.from({ length: count }, () => tau[g] * generator.normal()));
  const coefficients = [...fixed, ...levels];
  const rows = Array.from({ length: nRows }, () => {
    const [first, second] = [generator.integer(LEVELS[0]), generator.integer(LEVELS[1])];
    const chosen = levels.map((_, k) => (k === first || k === LEVELS[0] + second ? 1 : 0));
    const design = [1, generator.normal(), generator.uniform() < 0.3 ? 1 : 0, ...chosen];
    const variance = kind === 'added-variance' ? 0.2 * generator.uniform() : 0;
    const error =
      kind === 'student-t' ? sigma * generator.studentT(4) : Math.sqrt(sigma ** 2 + variance) * generator.normal();
    const y = 0.2 + design.reduce((sum, value, j) => sum + value * coefficients[j], 0) + error;
    return { design, variance, ends: seen(kind, y, generator.uniform()) };
  });
  const problem = smallProblem({
    design: rows.map((row) => row.design),
    ends: rows.map((row) => row.ends),
    offset: rows.map(() => 0.2),
    ...(kind === 'added-variance' ? { addedVariance: rows.map((row) => row.variance) } : {}),
    mean: FIXED_MEAN,
    sd: FIXED_SD,
    groups: LEVELS.map((count, g) => ({ name: `group ${g}`, count, tauScale: TAU_SCALES[g] })),
    sigma: SIGMA,
    error: kind === 'student-t' ? { kind: 'student-t', degreesOfFreedom: 4 } : { kind: 'normal' },
  });
  return { problem, truth: { coefficients, tau, sigma } };
}

/** Censoring that does not look at y beyond its own cell: on a grid of 0.5, or beyond one end of it. */
function seen(kind: Kind, y: number, chance: number): [number, number] {
  const cell = Math.floor(2 * y) / 2;
  if (kind === 'exact' || kind === 'student-t' || (kind === 'mixed' && chance < 0.3)) return [y, y];
  if (kind === 'added-variance' && chance < 0.5) return [y, y];
  if (chance > 0.9) return y > 0 ? [0, Number.POSITIVE_INFINITY] : [Number.NEGATIVE_INFINITY, 0];
  return [cell, cell + 0.5];
}
