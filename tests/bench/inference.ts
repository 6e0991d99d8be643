// Speed and memory of the inference engine against R (survival, lme4) and C. Run: node --import tsx tests/bench/inference.ts
// Prints CPU seconds, the ratio and the figure to reach; a line is skipped where R, its package or a C compiler is absent.
// Both sides take the best of three runs, R without reading its data. Machines are shared and noisy: compare ratios, not times.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { fitRegression } from '../../src/inference/fit.ts';
import { drawPredictors } from '../../src/inference/predict.ts';
import { quantiles } from '../../src/inference/quantile.ts';
import { normalStore } from '../../src/inference/random.ts';
import { addWeightedSquare } from '../../src/inference/sparse.ts';
import { thinnedProblem } from '../../src/inference/thinned.ts';
import type { Posterior, RegressionProblem } from '../../src/inference/types.ts';
import { GRAM_LEVELS, intervalProblem, madeRows, mixedProblem, REGRESSION_LEVELS } from './inference-data.ts';
import { GRAM_C, LMER_R, SURVREG_R } from './inference-rivals.ts';

const folder = mkdtempSync(join(tmpdir(), 'inference-bench-'));
try {
  if (process.argv[2] === 'memory') memoryOfOneFit();
  else {
    memoryOfFits();
    intervalAgainstSurvreg();
    mixedAgainstLmer();
    gramAgainstC();
    drawsOfOneEstimate();
    costPerRow();
  }
} finally {
  rmSync(folder, { recursive: true });
}

function intervalAgainstSurvreg(): void {
  const made = madeRows(100_000, true);
  const problem = intervalProblem(made);
  const { result, seconds } = bestOfThree(() => fitted(problem, 'ml'));
  const { seconds: posteriorSeconds } = bestOfThree(() => fitted(problem, 'posterior'));
  const nFactors = made.factors.length / 100_000;
  const lines = Array.from({ length: 100_000 }, (_, i) => {
    const upper = problem.observations.upper[i];
    const ends = [Math.exp(problem.observations.lower[i]), upper === Number.POSITIVE_INFINITY ? 'NA' : Math.exp(upper)];
    return [
      ...ends,
      ...made.covariates.subarray(2 * i, 2 * i + 2),
      ...made.factors.subarray(nFactors * i, nFactors * (i + 1)),
    ];
  });
  const rival = runR(SURVREG_R, ['lo', 'hi', 'a', 'b', ...Array.from({ length: nFactors }, (_, f) => `f${f}`)], lines);
  const title = 'interval-censored log-normal, 100,000 rows, 40 columns, against survreg';
  if (!rival) {
    skipped(title, 'Rscript with survival');
    return;
  }
  const point = result.points[0];
  report(title, seconds, rival.seconds, '≥ 10 times as fast', [
    ['intercept', point.mode[0], rival.estimates[0]],
    ['slope a', point.mode[1], rival.estimates[1]],
    ['slope b', point.mode[2], rival.estimates[2]],
    ['scale', point.sigma, rival.estimates[3]],
  ]);
  print(`  the whole posterior of the same rows, spreads integrated: ${posteriorSeconds.toFixed(3)} s`);
}

function mixedAgainstLmer(): void {
  const { problem, person, machine, covariates, y } = mixedProblem(100_000, 30, 12);
  const { result, seconds } = bestOfThree(() => fitted(problem, 'reml'));
  const lines = Array.from(y, (value, i) => [value, covariates[2 * i], covariates[2 * i + 1], person[i], machine[i]]);
  const rival = runR(LMER_R, ['y', 'a', 'b', 'p', 'm'], lines);
  const title = 'mixed normal model, 100,000 rows, 30 and 12 levels, against lmer (REML)';
  if (!rival) {
    skipped(title, 'Rscript with lme4');
    return;
  }
  const point = result.points[0];
  report(title, seconds, rival.seconds, '≥ 10 times as fast', [
    ['slope a', point.mode[1], rival.estimates[1]],
    ['slope b', point.mode[2], rival.estimates[2]],
    ['sd of people', point.tau[0], rival.estimates[3]],
    ['sd of machines', point.tau[1], rival.estimates[4]],
    ['sd of errors', point.sigma, rival.estimates[5]],
  ]);
}

function gramAgainstC(): void {
  const { rows } = madeRows(1_000_000, false, 1, GRAM_LEVELS);
  const gram = new Float64Array((rows.nColumns * (rows.nColumns + 1)) / 2);
  const { seconds } = bestOfThree(() => {
    gram.fill(0);
    for (let row = 0; row < rows.nRows; row++) addWeightedSquare(rows, row, 0.5, gram);
  });
  const title = `Gram matrix, 1,000,000 rows, ${rows.nColumns} columns, ${(rows.value.length / rows.nRows).toFixed(0)} entries a row, against C`;
  const rival = runC(rows.rowStart, rows.column, rows.value, rows.nColumns);
  if (!rival) {
    skipped(title, 'a C compiler');
    return;
  }
  const at = [0, 5, 100, gram.length - 1];
  print(
    `${title}\n  ${seconds.toFixed(3)} s against ${rival.seconds.toFixed(3)} s: ${(seconds / rival.seconds).toFixed(2)} times its time (reach ≤ 3)`,
  );
  differences(at.map((k, i) => [`entry ${k}`, gram[k], rival.estimates[i]] as const));
}

/** First of all: a child's recorded peak begins with what its parent holds when it is started. */
function memoryOfFits(): void {
  for (const kind of ['exact', 'interval']) {
    const script = fileURLToPath(import.meta.url);
    const megabytes = execFileSync(process.execPath, ['--import', 'tsx', script, 'memory', kind], {
      encoding: 'utf8',
    }).trim();
    print(`memory of a fit, 1,000,000 ${kind} rows, the rows included: peak ${megabytes} MB (reach ≤ 300)`);
  }
}

/** In a process of its own, the peak being the process's. */
function memoryOfOneFit(): void {
  const problem =
    process.argv[3] === 'exact'
      ? mixedProblem(1_000_000, 30, 12).problem
      : intervalProblem(madeRows(1_000_000, true, 1, REGRESSION_LEVELS.slice(0, 4)));
  fitted(problem, 'posterior');
  print(Math.round(process.resourceUsage().maxRSS / 1024).toString());
}

function drawsOfOneEstimate(): void {
  const { problem } = mixedProblem(2000, 30, 7);
  const posterior = fitted(problem, 'posterior');
  const { rows } = thinnedProblem(problem, 250);
  const normals = normalStore();
  const probabilities = [0.05, 0.1, 0.25, 0.5, 0.75, 0.8, 0.9, 0.95];
  const batch = 100;
  const { seconds } = bestOfThree(() => {
    for (let estimate = 0; estimate < batch; estimate++) {
      const { eta } = drawPredictors(posterior, rows, normals(1, 4000 * 8), 4000);
      for (let r = 0; r < 8; r++) quantiles(eta.subarray(r * 4000, (r + 1) * 4000), probabilities);
    }
  });
  const milliseconds = ((1000 * seconds) / batch).toFixed(2);
  print(
    `one estimate, 4,000 draws of 8 predictors, 8 quantiles each, 15 points, 40 columns: ${milliseconds} ms (reach ≤ 1.5)`,
  );
}

function costPerRow(): void {
  const costs = [200, 2000, 20_000].map((nRows) => {
    const problem = intervalProblem(madeRows(nRows, true));
    const { seconds } = bestOfThree(() => fitted(problem, 'posterior'));
    return `${((1e6 * seconds) / nRows).toFixed(1)} µs at ${nRows}`;
  });
  print(`cost of a posterior per interval-censored row of 40 columns: ${costs.join(', ')} (reach: flat)`);
}

function fitted(problem: RegressionProblem, estimate: 'posterior' | 'reml' | 'ml'): Posterior {
  const result = fitRegression(problem, { estimate });
  if (result.status !== 'fitted') throw new Error(result.message);
  return result.posterior;
}

function bestOfThree<T>(work: () => T): { result: T; seconds: number } {
  let seconds = Number.POSITIVE_INFINITY;
  let result = work();
  for (let run = 0; run < 3; run++) {
    const start = process.cpuUsage();
    result = work();
    const { user, system } = process.cpuUsage(start);
    seconds = Math.min(seconds, (user + system) / 1e6);
  }
  return { result, seconds };
}

/** The rival prints its best CPU seconds first, then its estimates. Undefined where it is not installed. */
function runR(program: string, names: readonly string[], lines: readonly (readonly (number | string)[])[]) {
  const [data, script] = [join(folder, 'data.csv'), join(folder, 'rival.R')];
  writeFileSync(data, [names.join(','), ...lines.map((line) => line.join(','))].join('\n'));
  writeFileSync(script, program);
  return numbersOf('Rscript', [script, data]);
}

function runC(rowStart: Int32Array, column: Int32Array, value: Float64Array, nColumns: number) {
  const [source, program, data] = [join(folder, 'gram.c'), join(folder, 'gram'), join(folder, 'rows.bin')];
  writeFileSync(source, GRAM_C);
  if (!available('cc', ['-O3', '-march=native', '-o', program, source])) return undefined;
  writeFileSync(
    data,
    Buffer.concat([rowStart, column, value].map((part) => Buffer.from(part.buffer, part.byteOffset, part.byteLength))),
  );
  return numbersOf(program, [data, `${rowStart.length - 1}`, `${value.length}`, `${nColumns}`]);
}

function numbersOf(command: string, parameters: readonly string[]) {
  const output = join(folder, 'output.txt');
  if (!available(command, [...parameters, output])) return undefined;
  const [seconds, ...estimates] = readFileSync(output, 'utf8').trim().split(/\s+/).map(Number);
  return { seconds, estimates };
}

/** Exit status 9 is a rival's way of saying that a package is absent. */
function available(command: string, parameters: readonly string[]): boolean {
  try {
    execFileSync(command, parameters, { stdio: ['ignore', 'ignore', 'inherit'] });
    return true;
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return false;
    if (error instanceof Error && 'status' in error && error.status === 9) return false;
    throw error;
  }
}

function report(
  title: string,
  seconds: number,
  rival: number,
  reach: string,
  estimates: readonly (readonly [string, number, number])[],
): void {
  print(
    `${title}\n  ${seconds.toFixed(3)} s against ${rival.toFixed(3)} s: ${(rival / seconds).toFixed(1)} times as fast (reach ${reach})`,
  );
  differences(estimates);
}

function differences(estimates: readonly (readonly [string, number, number])[]): void {
  const worst = estimates
    .map(([name, ours, theirs]) => ({ name, difference: Math.abs(ours / theirs - 1) }))
    .reduce((most, next) => (next.difference > most.difference ? next : most));
  print(
    `  largest relative difference of ${estimates.length} estimates: ${worst.difference.toExponential(1)} (${worst.name})`,
  );
}

function skipped(title: string, needs: string): void {
  print(`${title}\n  skipped: needs ${needs}`);
}

function print(line: string): void {
  process.stdout.write(`${line}\n`);
}
