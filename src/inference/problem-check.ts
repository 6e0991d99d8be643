import { packedOrder } from './cholesky.ts';
import type { RegressionProblem } from './types.ts';

/** **Throws** RangeError where a problem is put together wrongly: a mistake of the caller's, not of the data. */
export function checkProblem(problem: RegressionProblem): void {
  const faults = [...shapeFaults(problem), ...groupFaults(problem), ...priorFaults(problem)];
  if (faults.length > 0) throw new RangeError(`${problem.name}: ${faults.join('; ')}`);
}

/** The first row that no likelihood can read: a number missing, or ends in the wrong order. */
export function unreadableRow(problem: RegressionProblem): number | undefined {
  const { lower, upper, offset, addedVariance, ofSigma2 } = problem.observations;
  for (let row = 0; row < problem.rows.nRows; row++) {
    const ordered =
      lower[row] <= upper[row] && lower[row] < Number.POSITIVE_INFINITY && upper[row] > Number.NEGATIVE_INFINITY;
    const variance = addedVariance?.[row] ?? 0;
    const part = ofSigma2?.[row] ?? 1;
    const varies = variance >= 0 && part >= 0 && part + variance > 0 && part + variance < Number.POSITIVE_INFINITY;
    if (!ordered || !Number.isFinite(offset[row]) || !varies) return row;
  }
  return undefined;
}

function shapeFaults(problem: RegressionProblem): string[] {
  const { rows, observations, fixed } = problem;
  const lengths: readonly (readonly [string, number, number])[] = [
    ['lower', observations.lower.length, rows.nRows],
    ['upper', observations.upper.length, rows.nRows],
    ['offset', observations.offset.length, rows.nRows],
    ['addedVariance', observations.addedVariance?.length ?? rows.nRows, rows.nRows],
    ['ofSigma2', observations.ofSigma2?.length ?? rows.nRows, rows.nRows],
    ['fixed.mean', fixed.mean.length, fixed.names.length],
    ['fixed.sd', fixed.sd.length, fixed.names.length],
  ];
  const faults = lengths
    .filter(([, is, should]) => is !== should)
    .map(([name, is, should]) => `${name} has ${is} entries: ${should}`);
  const known = packedOrder(fixed.precision?.length ?? 0);
  if (!Number.isInteger(known) || known > fixed.names.length)
    faults.push(
      `fixed.precision has ${fixed.precision?.length} entries: the packed half of at most ${fixed.names.length} terms`,
    );
  return faults;
}

function groupFaults(problem: RegressionProblem): string[] {
  const faults: string[] = [];
  let next = problem.fixed.names.length;
  for (const group of problem.groups) {
    if (group.first !== next)
      faults.push(`group ${group.name} begins at column ${group.first}: ${next}, where the one before it ends`);
    if (!(group.tauScale > 0 && group.tauScale < Number.POSITIVE_INFINITY)) {
      faults.push(`group ${group.name}: tauScale is ${group.tauScale}: a finite number above 0`);
    }
    next = group.first + group.count;
  }
  if (next !== problem.rows.nColumns)
    faults.push(`fixed terms and groups end at column ${next}: ${problem.rows.nColumns}`);
  return faults;
}

function priorFaults(problem: RegressionProblem): string[] {
  const { fixed, sigma, error } = problem;
  const faults: string[] = [];
  fixed.names.forEach((name, j) => {
    if (!Number.isFinite(fixed.mean[j]) || !(fixed.sd[j] > 0)) {
      faults.push(
        `${name}: prior mean ${fixed.mean[j]}, sd ${fixed.sd[j]}: a finite mean, an sd above 0 (Infinity: flat)`,
      );
    }
  });
  if (!Number.isFinite(sigma.logMean) || !(sigma.logSd >= 0 && sigma.logSd < Number.POSITIVE_INFINITY)) {
    faults.push(`sigma: log mean ${sigma.logMean}, log sd ${sigma.logSd}: finite, log sd 0 (known) or more`);
  }
  const { readingSd = 0 } = sigma;
  if (!(readingSd >= 0 && readingSd < Number.POSITIVE_INFINITY))
    faults.push(`sigma: readingSd is ${readingSd}: a finite number, 0 or more`);
  if (error.kind === 'student-t' && !(error.degreesOfFreedom > 0)) {
    faults.push(`degreesOfFreedom is ${error.degreesOfFreedom}: a number above 0`);
  }
  return faults;
}
