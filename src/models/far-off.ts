import type { ModelName } from '../domain/doubts.ts';
import { solveLower } from '../inference/cholesky.ts';
import { addScaledRow, rowDot } from '../inference/sparse.ts';
import type { PosteriorPoint, SparseRows } from '../inference/types.ts';
import { significant } from './estimate/figure.ts';
import type { ModelRows, Odd } from './rows/model-rows.ts';
import { ruleOf } from './rule-table.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';
import type { FittedModel } from './shop-fit.ts';

/** A record is absurd only where it is off by this factor, and by as many of its own standard deviations. */
const absurd = { factor: 4, deviations: 4 } as const;
/** One that is read all the same, and that somebody had better look at. */
const odd = { factor: 2.5, deviations: 3 } as const;
/** Where more of a model's records than this are far off it is not the pen that slipped: all are read. */
const mostShare = 0.05;
const mostRecords = 2;
/** However great a row's own pull, a twentieth is left to expect from. */
const leastKept = 0.05;
/** Even at the greatest pull such a residual is no absurd record's. */
const tooSmall = leastKept * Math.log(odd.factor);

/** Half of a 90 % range in standard deviations: of a normal, and of a Student t with four degrees of freedom. */
const halfRange = { normal: 1.645, 'student-t': 2.132 } as const;

interface Limit {
  readonly factor: number;
  readonly deviations: number;
}

interface Wording {
  readonly unit: string;
  readonly seen: (amount: string, isMore: boolean) => string;
  readonly slip: string;
}

const wordings: Readonly<Record<ModelName, Wording>> = {
  passes: {
    unit: 'passes',
    seen: (passes) => `${passes} ${passes === '1' ? 'pass' : 'passes'} on one section`,
    slip: 'The passes, the soil or the result may be mistyped.',
  },
  labour: {
    unit: 'hours',
    seen: (hours) => `${hours} hours of labour`,
    slip: 'Minutes typed as hours, a sign too many, or a surface that is wrong?',
  },
  water: {
    unit: 'L/m²',
    seen: (litres) => `${litres} L/m² left in`,
    slip: 'A tank reading may be mistyped, or a refill not counted.',
  },
  drying: {
    unit: 'hours',
    seen: (hours, isMore) => (isMore ? `still wet after ${hours} hours` : `dry within ${hours} hours`),
    slip: 'The hours of a check, its answer, or the litres may be mistyped.',
  },
};

/**
 * The records that may be a slip of the pen rather than work: far from what the model expects of such a job, with the pull that they have
 * on this very expectation taken off.
 *
 * One step from the fit that read them: with h the row's leverage, its residual had it not been read is r / (1 − h), of variance s² / (1 − h).
 * `s` is held to what the rules of thumb hold likely, for the record itself has widened it.
 *
 * **Returns** their refs, the farthest first and no more than a pen slips: a very absurd one makes sound ones look odd, which show as sound
 * once it is left out.
 * **Source** R. D. Cook and S. Weisberg, Residuals and Influence in Regression (1982), section 2.2 (deletion residuals).
 * **Checked** tests/models/far-off.test.ts
 */
export function suspectRecords(judged: Judged, read: ModelRows): ReadonlySet<string> {
  const farthest = farthestByRecord(read, judged, (judge, row) => deletionOf(judge, read, row));
  const byDistance = [...farthest].sort(([, a], [, b]) => Math.abs(b.off) - Math.abs(a.off));
  return new Set(byDistance.slice(0, mostOf(read)).map(([ref]) => ref));
}

/**
 * The records that are far off by what the others say: of the suspects, which were read no more, and of those that only the suspects hid.
 * Each with what was to be expected of it, by its farthest row; none where so many are far off that it is not the pen that slipped.
 *
 * @param all the rows of all records, the suspects' among them
 */
export function farOffRecords(judged: Judged, all: ModelRows, suspects: ReadonlySet<string>): readonly Odd[] {
  const farthest = farthestByRecord(all, judged, (judge, row) =>
    suspects.has(all.refs[row]) ? unreadOf(judge, all, row) : deletionOf(judge, all, row),
  );
  return farthest.size > mostOf(all) ? [] : toldAll(judged, farthest, all);
}

/**
 * The records that were read and look odd by what the others say, each with what was to be expected of it, by its farthest row; none where so
 * many do that it is the work.
 */
export function oddRecords(judged: Judged, read: ModelRows): readonly Odd[] {
  const farthest = farthestByRecord(read, judged, (judge, row) => deletionOf(judge, read, row), odd);
  return farthest.size > mostOf(read) ? [] : toldAll(judged, farthest, read);
}

function toldAll({ name, model }: Judged, farthest: ReadonlyMap<string, Deviation>, rows: ModelRows): readonly Odd[] {
  const half = halfRange[model.posterior.error.kind];
  return [...farthest].map(([ref, deviation]) => ({ ref, ...told(name, deviation, half, rows) }));
}

/** What records are judged by: a fit, and what the rules of thumb hold likely. */
export interface Judged {
  readonly name: ModelName;
  readonly model: Pick<FittedModel, 'posterior'>;
  readonly rules: readonly RuleOfThumb[];
  /** Refs of records that are read however odd they are. */
  readonly confirmed: readonly string[];
}

interface Judge {
  readonly point: PosteriorPoint;
  readonly sigma: number;
}

/** The records with a row that is far off, and of each the farthest. */
function farthestByRecord(
  { refs }: ModelRows,
  { name, model, rules, confirmed }: Judged,
  deviationOf: (judge: Judge, row: number) => Deviation,
  limit: Limit = absurd,
): ReadonlyMap<string, Deviation> {
  const [point] = model.posterior.points;
  const judge = { point, sigma: likelySigma(name, point, rules) };
  const isConfirmed = new Set(confirmed);
  const farthest = new Map<string, Deviation>();
  refs.forEach((ref, row) => {
    if (isConfirmed.has(ref)) return;
    const deviation = deviationOf(judge, row);
    if (isBeyond(limit, deviation) && Math.abs(deviation.off) > Math.abs(farthest.get(ref)?.off ?? 0))
      farthest.set(ref, deviation);
  });
  return farthest;
}

function mostOf({ used }: ModelRows): number {
  return Math.max(mostRecords, Math.floor(mostShare * used));
}

function likelySigma(name: ModelName, { sigma }: PosteriorPoint, rules: readonly RuleOfThumb[]): number {
  const prior = ruleOf(rules, name, 'sigma');
  return Math.min(sigma, Math.exp(prior.mean + prior.sd));
}

/** A row against what would be expected of it had it not been read, log scale. */
interface Deviation {
  /** What it says, or the nearer end of what it leaves open. */
  readonly seen: number;
  readonly off: number;
  /** Standard deviation of `off`. */
  readonly sd: number;
  readonly row: number;
}

function deletionOf({ point, sigma }: Judge, { rows, observations, spread }: ModelRows, row: number): Deviation {
  const { expected, seen } = seenOf(point, { rows, observations }, row);
  if (Math.abs(seen - expected) < tooSmall) return { seen, off: 0, sd: sigma, row };
  const variance = errorVariance(sigma, { observations, spread }, row);
  const kept = Math.max(leastKept, 1 - rowVariance(point, rows, row) / variance);
  return { seen, off: (seen - expected) / kept, sd: Math.sqrt(variance / kept), row };
}

/** The same of a row that was not read. */
function unreadOf({ point, sigma }: Judge, { rows, observations, spread }: ModelRows, row: number): Deviation {
  const { expected, seen } = seenOf(point, { rows, observations }, row);
  const variance = errorVariance(sigma, { observations, spread }, row) + rowVariance(point, rows, row);
  return { seen, off: seen - expected, sd: Math.sqrt(variance), row };
}

function errorVariance(
  sigma: number,
  { observations, spread }: Pick<ModelRows, 'observations' | 'spread'>,
  row: number,
) {
  return (sigma * (spread?.[row] ?? 1)) ** 2 + (observations.addedVariance?.[row] ?? 0);
}

/** What is expected of a row, and what it says: its nearer end, where it leaves it open. */
function seenOf(point: PosteriorPoint, { rows, observations }: Pick<ModelRows, 'rows' | 'observations'>, row: number) {
  const expected = observations.offset[row] + rowDot(rows, row, point.mode);
  return { expected, seen: Math.min(Math.max(expected, observations.lower[row]), observations.upper[row]) };
}

function isBeyond({ factor, deviations }: Limit, { off, sd }: Deviation): boolean {
  return Math.abs(off) > Math.log(factor) && Math.abs(off) > deviations * sd;
}

/** xᵀ H⁻¹ x: with L z = x it is z · z. */
function rowVariance({ precisionFactor, mode }: PosteriorPoint, rows: SparseRows, row: number): number {
  const z = new Float64Array(mode.length);
  addScaledRow(rows, row, 1, z);
  solveLower(precisionFactor, mode.length, z);
  return z.reduce((sum, value) => sum + value * value, 0);
}

function told(
  name: ModelName,
  { seen, off, sd, row }: Deviation,
  half: number,
  { shown, typed }: Pick<ModelRows, 'shown' | 'typed'>,
): Omit<Odd, 'ref'> {
  const { unit, seen: words, slip } = wordings[name];
  const asCounted = shown?.[row] ?? ((y: number) => y);
  const figure = (log: number) => significant(asCounted(Math.exp(log)));
  const short = (value: number) => String(Number(value.toPrecision(2)));
  const expected = { p05: figure(seen - off - half * sd), p95: figure(seen - off + half * sd) };
  const amount = typed?.[row] ?? figure(seen);
  const [least, most] = [short(expected.p05), short(expected.p95)];
  const range = least === most ? `${most} was` : `${least} to ${most} ${unit} were`;
  const said = words(Number.isInteger(amount) ? String(amount) : short(amount), off > 0);
  return {
    reason: `${said}, where ${range} to be expected. ${slip}`,
    farOff: { seen: amount, unit, expected },
  };
}
