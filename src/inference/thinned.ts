import { randomGenerator } from './random.ts';
import { rowBuilder } from './sparse.ts';
import type { RegressionProblem } from './types.ts';

const SEED = 20090402;

/**
 * One row of every `step` of a problem, in order: enough of a large one to say where its fit lies. Which one is left to a fixed stream of chance,
 * so that no rhythm of the rows (every tenth one censored) is picked up or missed.
 */
export function thinnedProblem(problem: RegressionProblem, step: number): RegressionProblem {
  const { rows, observations } = problem;
  const generator = randomGenerator(SEED);
  const kept = Int32Array.from({ length: Math.floor(rows.nRows / step) }, (_, k) => k * step + generator.integer(step));
  const builder = rowBuilder(rows.nColumns);
  for (const row of kept) {
    const [start, end] = [rows.rowStart[row], rows.rowStart[row + 1]];
    builder.addRow(rows.column.subarray(start, end), rows.value.subarray(start, end));
  }
  const thin = (values: Float64Array): Float64Array => Float64Array.from(kept, (row) => values[row]);
  return {
    ...problem,
    rows: builder.build(),
    observations: {
      lower: thin(observations.lower),
      upper: thin(observations.upper),
      offset: thin(observations.offset),
      ...(observations.addedVariance ? { addedVariance: thin(observations.addedVariance) } : {}),
      ...(observations.ofSigma2 ? { ofSigma2: thin(observations.ofSigma2) } : {}),
    },
  };
}
