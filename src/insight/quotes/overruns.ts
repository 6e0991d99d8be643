import type { FinishedJob } from '../../domain/record.ts';
import { fitRegression } from '../../inference/fit.ts';
import { drawPredictors } from '../../inference/predict.ts';
import { quantiles } from '../../inference/quantile.ts';
import { normalStore } from '../../inference/random.ts';
import { rowBuilder } from '../../inference/sparse.ts';
import type { Posterior, RegressionProblem } from '../../inference/types.ts';
import { significant } from '../../models/estimate/figure.ts';
import { studentErrors } from '../../models/estimate/noise.ts';
import { minutesReadingSd } from '../../models/minutes.ts';
import { actualHours, ranOver } from '../actual-hours.ts';
import { type Range, rangeOf, shareRange } from '../range.ts';

/** A job that was quoted in hours. */
export interface QuotedJob {
  readonly job: FinishedJob;
  readonly quotedHours: number;
  readonly hours: number;
}

/** How the quotes of one kind of job have done, before it is judged beside the others. */
export interface KindFigures {
  readonly kind: string;
  readonly jobs: number;
  readonly over: number;
  /** 90 % range of the share that runs over, few jobs widening it. */
  readonly shareOver: Range;
  /** Typical hours taken over hours quoted, the kinds partially pooled. */
  readonly takenOverQuoted: Range;
  readonly medianQuotedHours: number;
  /** Hours that this kind's median quote should have said to run over in `risk` of jobs. */
  readonly hoursToQuote: number;
}

const nDraws = 4000;
const normals = normalStore();
const degreesOfFreedom = 4;

export function quotedJobs(records: readonly FinishedJob[]): readonly QuotedJob[] {
  return records.flatMap((job) => {
    const quotedHours = job.quoted?.hours;
    return quotedHours === undefined ? [] : [{ job, quotedHours, hours: actualHours(job) }];
  });
}

/**
 * Hours taken over hours quoted, by kind: a log-scale regression whose kinds share one spread, so that three jobs do not shout.
 * Undefined where it could not be fitted.
 */
export function overrunsBy(
  jobs: readonly QuotedJob[],
  kindOf: (job: FinishedJob) => string,
  risk: number,
): readonly KindFigures[] | undefined {
  const kindOfEach = jobs.map(({ job }) => kindOf(job));
  const kinds = [...new Set(kindOfEach)].sort();
  const places = kindOfEach.map((kind) => kinds.indexOf(kind));
  const result = fitRegression(problem(jobs, kinds, places));
  if (result.status === 'failed') return undefined;
  return kinds.map((kind, k) => {
    const of = jobs.filter((_, i) => places[i] === k);
    return overrun(kind, of, kindDraws(result.posterior, k, kinds.length), risk);
  });
}

/**
 * Priors: quotes are right give or take a third; kinds differ by a fifth, half-normal; jobs scatter by a fifth. Common practice, no source.
 * Hours are no surer than the step in which the shop writes them: where the quote is what is written down, there would be no spread to learn.
 */
function problem(jobs: readonly QuotedJob[], kinds: readonly string[], places: readonly number[]): RegressionProblem {
  const builder = rowBuilder(1 + kinds.length);
  for (const place of places) builder.addRow([0, 1 + place], [1, 1]);
  const logRatio = Float64Array.from(jobs, ({ hours, quotedHours }) => Math.log(hours / quotedHours));
  return {
    name: 'quotes',
    rows: builder.build(),
    observations: { lower: logRatio, upper: logRatio, offset: new Float64Array(jobs.length) },
    error: { kind: 'student-t', degreesOfFreedom },
    fixed: { names: ['all'], mean: Float64Array.of(0), sd: Float64Array.of(0.3) },
    groups: [{ name: 'kind', first: 1, count: kinds.length, tauScale: 0.2 }],
    sigma: { logMean: Math.log(0.2), logSd: 0.5, readingSd: minutesReadingSd(jobs.map(({ job }) => job)) },
  };
}

function kindDraws(posterior: Posterior, kind: number, nKinds: number) {
  const row = rowBuilder(1 + nKinds);
  row.addRow([0, 1 + kind], [1, 1]);
  const { eta, sigma } = drawPredictors(posterior, row.build(), normals(61, nDraws), nDraws);
  const errors = studentErrors(degreesOfFreedom, nDraws);
  return {
    typical: eta.map(Math.exp),
    next: eta.map((value, d) => Math.exp(value + sigma[d] * errors[d])),
  };
}

function overrun(
  kind: string,
  jobs: readonly QuotedJob[],
  { typical, next }: { readonly typical: Float64Array; readonly next: Float64Array },
  risk: number,
): KindFigures {
  const over = jobs.filter(({ hours, quotedHours }) => ranOver(hours, quotedHours)).length;
  const [medianQuotedHours] = quantiles(
    Float64Array.from(jobs, ({ quotedHours }) => quotedHours),
    [0.5],
  );
  const [factor] = quantiles(next, [1 - risk]);
  return {
    kind,
    jobs: jobs.length,
    over,
    shareOver: shareRange(over, jobs.length),
    takenOverQuoted: rangeOf(typical),
    medianQuotedHours: significant(medianQuotedHours),
    hoursToQuote: Number((medianQuotedHours * factor).toFixed(2)),
  };
}
