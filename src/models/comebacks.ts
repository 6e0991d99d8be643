import type { PlannedJob } from '../domain/planned.ts';
import type { FinishedJob } from '../domain/record.ts';
import { type Method, methods } from '../domain/vocabulary.ts';
import { betaQuantile } from '../inference/beta.ts';

/** Of jobs that count, how many came back for water or soil left in; and how many count as not come back by silence alone. */
export interface ComebackTally {
  readonly jobs: number;
  readonly cases: number;
  readonly silent: number;
}

/** A shop's tally, and that of each method, a job under the method that wetted most. */
export interface ComebackCounts extends ComebackTally {
  readonly byMethod: Readonly<Record<Method, ComebackTally>>;
}

/** A chance with its 90 % range and where it comes from. */
export interface ComebackRisk {
  readonly chance: number;
  readonly p05: number;
  readonly p95: number;
  /** Finished jobs by this method that count. */
  readonly jobs: number;
  readonly cases: number;
  readonly source: string;
}

/** The Beta distribution of a share. */
interface ShareBeta {
  readonly a: number;
  readonly b: number;
}

/** Common practice, no source: perhaps three jobs in a hundred. */
export const ruleShare = 0.03;

/** How many jobs the rule is worth against what the shop has seen. */
const ruleJobs = 10;

/** How many jobs a kind's own share is held to that of the others by, were theirs known. */
const pooling = 20;

/** Common practice, no source: wick-back, smell and rings show within days, and who is to complain has done so within four weeks. */
const waitMs = 28 * 24 * 3_600_000;

/**
 * The jobs that tell how often work comes back. Shops note what comes back and hardly ever what does not, so that silence counts as "did not":
 * while the shop is known to note outcomes, and once the four weeks are over in which it would have been noted. Silence after the last note may
 * as well be that of a shop which has given noting up, and is read as neither; one “none” of now says that it goes on.
 * So that the share is right whatever is written besides, which jobs count hangs on when they were finished and never on how they came out.
 * Hence younger jobs are left out although their outcome is written, for among those only the cases are known; and so are the two jobs that the
 * noting is known by, which in most shops are there because they came back.
 * **Checked** tests/models/comebacks.test.ts
 */
export function countedJobs(records: readonly FinishedJob[], now: Date): readonly FinishedJob[] {
  const finished = (job: FinishedJob) => Date.parse(job.finishedAt);
  const noted = records.filter(isNoted).map(finished);
  const first = noted.reduce((least, at) => Math.min(least, at), Number.POSITIVE_INFINITY);
  const last = noted.reduce((most, at) => Math.max(most, at), Number.NEGATIVE_INFINITY);
  const until = now.getTime() - waitMs;
  return records.filter((job) => finished(job) > first && finished(job) < last && finished(job) <= until);
}

/** The tally of jobs that count, by {@link countedJobs}. */
export function comebackTally(counted: readonly FinishedJob[]): ComebackTally {
  const noted = counted.filter(isNoted);
  const cases = noted.filter(isComeback).length;
  return { jobs: counted.length, cases, silent: counted.length - noted.length };
}

export function comebackCounts(records: readonly FinishedJob[], now: Date): ComebackCounts {
  const counted = countedJobs(records, now);
  const byMethod = (method: Method) => comebackTally(counted.filter((job) => wettest(job.sections) === method));
  return {
    ...comebackTally(counted),
    byMethod: {
      spot: byMethod('spot'),
      extraction: byMethod('extraction'),
      'spot-then-extraction': byMethod('spot-then-extraction'),
    },
  };
}

/** The shop's share: what it has seen, held to the rule of thumb. */
export function shopShare(shop: ComebackTally): ShareBeta {
  return heldTo(ruleShare, ruleJobs, shop);
}

/**
 * The share of one kind of job: what was seen of it, held to that of the shop's other jobs, so that one unlucky job does not shout. Its own are
 * not among what it is held to, or they would count twice, and how little the others tell is kept: of a Beta of n jobs the variance is
 * m (1 − m) / (n + 1), and that of theirs is added to the kind's own.
 * **Checked** tests/models/comebacks.test.ts
 */
export function kindShare(kind: ComebackTally, shop: ComebackTally): ShareBeta {
  const { a, b } = shopShare({
    jobs: shop.jobs - kind.jobs,
    cases: shop.cases - kind.cases,
    silent: shop.silent - kind.silent,
  });
  const weight = 1 / (1 / (a + b + 1) + 1 / (pooling + 1)) - 1;
  return heldTo(a / (a + b), weight, kind);
}

/** How much of a tally is silence, in words; empty where everything was written. */
export function silenceText({ jobs, silent }: ComebackTally): string {
  if (silent === 0) return '';
  return `${silent} of the ${jobs} ${silent === 1 ? 'counts' : 'count'} as not come back because nothing was noted within four weeks`;
}

/** The chance that a planned job comes back: its method's share, held to the shop's, that held to the rule of thumb. */
export function comebackRisk(counts: ComebackCounts, { sections }: PlannedJob): ComebackRisk {
  const own = counts.byMethod[wettest(sections)];
  const { a, b } = kindShare(own, counts);
  return {
    chance: rounded(a / (a + b)),
    p05: rounded(betaQuantile(0.05, a, b)),
    p95: rounded(betaQuantile(0.95, a, b)),
    jobs: own.jobs,
    cases: own.cases,
    source: sourceOf(own, counts),
  };
}

function sourceOf(own: ComebackTally, shop: ComebackTally): string {
  if (shop.jobs === 0)
    return 'rule of thumb alone, which says little here: of no job finished between two noted outcomes and at least four weeks ago is it known whether it came back';
  if (own.jobs < pooling)
    return 'mostly rule of thumb, which says little here: few finished jobs tell whether they came back';
  return [`${own.cases} of ${own.jobs} finished jobs by this method came back`, silenceText(own)]
    .filter(Boolean)
    .join('; ');
}

export function isComeback({ outcome }: FinishedJob): boolean {
  return outcome?.comeback !== undefined && outcome.comeback !== 'none';
}

function isNoted({ outcome }: FinishedJob): boolean {
  return outcome?.comeback !== undefined;
}

function heldTo(chance: number, weight: number, { jobs, cases }: ComebackTally): ShareBeta {
  return { a: cases + weight * chance, b: jobs - cases + weight * (1 - chance) };
}

/** The method that wets most of those used. */
export function wettest(sections: readonly { readonly method: Method }[]): Method {
  return methods[Math.max(...sections.map(({ method }) => methods.indexOf(method)))];
}

function rounded(chance: number): number {
  return Number(chance.toFixed(4));
}
