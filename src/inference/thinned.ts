import { rowBuilder } from './sparse.ts';
import type { RegressionProblem } from './types.ts';

/** Every `step`-th row of a problem, in order: enough of a large one to say where its fit lies. */
export function thinnedProblem(problem: RegressionProblem, step: number): RegressionProblem {
  const { rows, observations } = problem;
  const builder = rowBuilder(rows.nColumns);
  for (let row = 0; row < rows.nRows; row += step) {
    const [start, end] = [rows.rowStart[row], rows.rowStart[row + 1]];
    builder.addRow(rows.column.subarray(start, end), rows.value.subarray(start, end));
  }
  const kept = builder.build();
  const thin = (values: Float64Array): Float64Array =>
    Float64Array.from({ length: kept.nRows }, (_, k) => values[k * step]);
  return {
    ...problem,
    rows: kept,
    observations: {
      lower: thin(observations.lower),
      upper: thin(observations.upper),
      offset: thin(observations.offset),
      ...(observations.addedVariance ? { addedVariance: thin(observations.addedVariance) } : {}),
    },
  };
}
