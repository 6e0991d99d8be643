import { randomGenerator } from '../../src/inference/random.ts';
import { rowBuilder } from '../../src/inference/sparse.ts';
import type { RegressionProblem, SparseRows } from '../../src/inference/types.ts';

/** Levels of each factor of a made-up design. With the intercept and two covariates, 40 columns once the first level of each is the reference. */
export const REGRESSION_LEVELS: readonly number[] = [4, 6, 5, 4, 6, 5, 5, 5, 6];
/** The same with every level a column: 40 columns, 12 entries a row. */
export const GRAM_LEVELS: readonly number[] = [3, 5, 4, 3, 5, 4, 4, 4, 5];

export interface Made {
  readonly rows: SparseRows;
  /** Level of each factor, row by row: what R is given. */
  readonly factors: Int32Array;
  readonly covariates: Float64Array;
  readonly y: Float64Array;
}

/** Rows of intercept, two covariates and one indicator a factor; `references` drops the reference level's column, as a regression must. */
export function madeRows(nRows: number, references: boolean, seed = 1, used = REGRESSION_LEVELS): Made {
  const generator = randomGenerator(seed);
  const first: number[] = [];
  let nColumns = 3;
  for (const levels of used) {
    first.push(nColumns);
    nColumns += references ? levels - 1 : levels;
  }
  const truth = Float64Array.from({ length: nColumns }, () => 0.2 * generator.normal());
  const builder = rowBuilder(nColumns, { rows: nRows, entries: nRows * (3 + used.length) });
  const factors = new Int32Array(nRows * used.length);
  const covariates = new Float64Array(2 * nRows);
  const y = new Float64Array(nRows);
  for (let row = 0; row < nRows; row++) {
    const columns = [0, 1, 2];
    const values = [1, generator.normal(), generator.uniform()];
    covariates.set([values[1], values[2]], 2 * row);
    used.forEach((levels, f) => {
      const level = generator.integer(levels);
      factors[row * used.length + f] = level;
      if (references && level === 0) return;
      columns.push(first[f] + (references ? level - 1 : level));
      values.push(1);
    });
    builder.addRow(columns, values);
    y[row] = columns.reduce((sum, column, k) => sum + values[k] * truth[column], 0) + 0.5 * generator.normal();
  }
  return { rows: builder.build(), factors, covariates, y };
}

/** Every reading on a grid of 0.5, one in ten only known to be above. */
export function intervalProblem(made: Made): RegressionProblem {
  const lower = made.y.map((y) => Math.floor(2 * y) / 2);
  const upper = lower.map((low, row) => (row % 10 === 0 ? Number.POSITIVE_INFINITY : low + 0.5));
  return regression(made, lower, upper);
}

/** Exact readings with two groups, added to the design of `madeRows`. */
export function mixedProblem(nRows: number, people: number, machines: number) {
  const generator = randomGenerator(7);
  const effects = Float64Array.from(
    { length: people + machines },
    (_, k) => (k < people ? 0.3 : 0.2) * generator.normal(),
  );
  const builder = rowBuilder(3 + people + machines, { rows: nRows, entries: 5 * nRows });
  const person = new Int32Array(nRows);
  const machine = new Int32Array(nRows);
  const covariates = new Float64Array(2 * nRows);
  const y = new Float64Array(nRows);
  for (let row = 0; row < nRows; row++) {
    person[row] = generator.integer(people);
    machine[row] = generator.integer(machines);
    const [a, b] = [generator.normal(), generator.uniform()];
    covariates.set([a, b], 2 * row);
    builder.addRow([0, 1, 2, 3 + person[row], 3 + people + machine[row]], [1, a, b, 1, 1]);
    y[row] = 1 + 0.3 * a - 0.2 * b + effects[person[row]] + effects[people + machine[row]] + 0.5 * generator.normal();
  }
  const rows = builder.build();
  const problem: RegressionProblem = {
    ...regression({ rows }, y, y, 3),
    groups: [
      { name: 'person', first: 3, count: people, tauScale: 0.3 },
      { name: 'machine', first: 3 + people, count: machines, tauScale: 0.3 },
    ],
  };
  return { problem, person, machine, covariates, y };
}

function regression(
  made: { readonly rows: SparseRows },
  lower: Float64Array,
  upper: Float64Array,
  nFixed = made.rows.nColumns,
): RegressionProblem {
  return {
    name: 'bench',
    rows: made.rows,
    observations: { lower, upper, offset: new Float64Array(made.rows.nRows) },
    error: { kind: 'normal' },
    fixed: {
      names: Array.from({ length: nFixed }, (_, j) => `b${j}`),
      mean: new Float64Array(nFixed),
      sd: new Float64Array(nFixed).fill(1),
    },
    groups: [],
    sigma: { logMean: Math.log(0.4), logSd: 0.5 },
  };
}
