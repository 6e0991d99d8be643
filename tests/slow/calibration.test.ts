import { describe, expect, it } from 'vitest';
import { drawPredictors } from '../../src/inference/predict.ts';
import { randomGenerator, standardNormals } from '../../src/inference/random.ts';
import { sparseRows } from '../../src/inference/sparse.ts';
import { type Kind, simulated } from '../inference/grouped-problem.ts';
import { fitted } from '../inference/support.ts';

// Simulation-based calibration (Talts, Betancourt, Simpson, Vehtari and Gelman 2018, arXiv:1804.06788): the truth is drawn from the prior, rows
// from the truth, draws from the posterior; over many runs the truth's rank among the draws is uniform where the posterior is exact.
// 2,000 runs a kind: the share below any rank is known to 0.011 (one standard deviation) at worst and 0.005 in the tails of a 90 % interval.
const RUNS = 2000;
const ROWS = 40;
const DRAWS = 99;
const BINS = 20;
/** The 0.9999 quantile of chi-square with 19 degrees of freedom: sixteen histograms, one false alarm in 600 suites. */
const CHI_SQUARE = 50.8;

/** Quantities of the three fixed terms, one level of each group, and a predictor over all of these. */
const quantities = [
  { name: 'constant', columns: [0] },
  { name: 'slope', columns: [1] },
  { name: 'level of the first group', columns: [4] },
  { name: 'predictor', columns: [0, 1, 2, 4, 8] },
] as const;

for (const kind of ['exact', 'student-t', 'censored', 'mixed'] as const) {
  describe(`recovery: simulation-based calibration, ${kind} rows`, () => {
    const histograms = rankHistograms(kind);
    it.each(quantities.map(({ name }, q) => [name, histograms[q]] as const))(
      '%s: ranks are uniform',
      (name, counts) => {
        const expected = RUNS / BINS;
        const chiSquare = counts.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
        const inside90 = counts.slice(1, -1).reduce((sum, count) => sum + count, 0) / RUNS;
        console.log(
          `${kind}, ${name}: ${counts.join(' ')} | chi-square ${chiSquare.toFixed(1)}, 90 % range holds ${(100 * inside90).toFixed(1)} %`,
        );
        expect(Math.abs(inside90 - 0.9)).toBeLessThan(0.02);
        expect(chiSquare).toBeLessThan(CHI_SQUARE);
      },
    );
  });
}

function rankHistograms(kind: Kind): number[][] {
  const counts = quantities.map(() => new Array<number>(BINS).fill(0));
  const rows = sparseRows(
    11,
    quantities.map(({ columns }) => columns.map((column) => [column, 1] as const)),
  );
  for (let run = 0; run < RUNS; run++) {
    const { problem, truth } = simulated(kind, ROWS, 50_000 + run);
    const normals = standardNormals(randomGenerator(run).integer(2 ** 31), 60 * DRAWS);
    const { eta } = drawPredictors(fitted(problem), rows, normals, DRAWS);
    quantities.forEach(({ columns }, q) => {
      const value = columns.reduce<number>((sum, column) => sum + truth.coefficients[column], 0);
      let rank = 0;
      for (let d = 0; d < DRAWS; d++) if (eta[q * DRAWS + d] < value) rank++;
      counts[q][Math.floor((rank * BINS) / (DRAWS + 1))] += 1;
    });
  }
  return counts;
}
