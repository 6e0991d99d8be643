import { type FitOptions, fitRegression } from '../../src/inference/fit.ts';
import { sparseRows } from '../../src/inference/sparse.ts';
import type { ErrorDistribution, GroupBlock, Posterior, RegressionProblem } from '../../src/inference/types.ts';

export interface SmallProblem {
  readonly design: readonly (readonly number[])[];
  /** [lower, upper] of log y. */
  readonly ends: readonly (readonly [number, number])[];
  readonly names?: readonly string[];
  readonly offset?: readonly number[];
  readonly addedVariance?: readonly number[];
  readonly mean?: readonly number[];
  readonly sd?: readonly number[];
  readonly groups?: readonly Omit<GroupBlock, 'first'>[];
  readonly sigma?: { readonly logMean: number; readonly logSd: number };
  readonly error?: ErrorDistribution;
}

/** A problem from dense rows; what is not said is flat, zero or normal. */
export function smallProblem(given: SmallProblem): RegressionProblem {
  const nRows = given.design.length;
  const groups = placed(given.groups ?? [], given.design[0]?.length ?? given.mean?.length ?? 0);
  const nFixed = groups[0]?.first ?? given.design[0]?.length ?? given.mean?.length ?? 0;
  const nColumns = nFixed + groups.reduce((sum, group) => sum + group.count, 0);
  return {
    name: 'small',
    rows: sparseRows(
      nColumns,
      given.design.map((row) => row.map((value, column) => [column, value] as const)),
    ),
    observations: {
      lower: Float64Array.from(given.ends, (ends) => ends[0]),
      upper: Float64Array.from(given.ends, (ends) => ends[1]),
      offset: Float64Array.from(given.offset ?? new Array<number>(nRows).fill(0)),
      ...(given.addedVariance ? { addedVariance: Float64Array.from(given.addedVariance) } : {}),
    },
    error: given.error ?? { kind: 'normal' },
    fixed: {
      names: given.names ?? Array.from({ length: nFixed }, (_, j) => `b${j}`),
      mean: Float64Array.from(given.mean ?? new Array<number>(nFixed).fill(0)),
      sd: Float64Array.from(given.sd ?? new Array<number>(nFixed).fill(Number.POSITIVE_INFINITY)),
    },
    groups,
    sigma: given.sigma ?? { logMean: 0, logSd: 1 },
  };
}

export const exactly = (y: readonly number[]): (readonly [number, number])[] => y.map((value) => [value, value]);

export function fitted(problem: RegressionProblem, options?: FitOptions): Posterior {
  const result = fitRegression(problem, options);
  if (result.status !== 'fitted') throw new Error(result.message);
  return result.posterior;
}

/** Digits that agree: −log10 of the relative error, as NIST judges. */
export function digits(value: number, certified: number): number {
  return value === certified ? 16 : -Math.log10(Math.abs(value - certified) / Math.abs(certified));
}

/** The groups' columns are the last ones. */
function placed(groups: readonly Omit<GroupBlock, 'first'>[], nColumns: number): GroupBlock[] {
  let first = nColumns - groups.reduce((sum, group) => sum + group.count, 0);
  return groups.map((group) => {
    const block = { ...group, first };
    first += group.count;
    return block;
  });
}
