import type { PlannedJob } from '../domain/planned.ts';
import type { FinishedJob } from '../domain/record.ts';
import { type Method, methods } from '../domain/vocabulary.ts';
import { betaQuantile } from '../inference/beta.ts';

/** Jobs whose outcome is known and how many of them came back for water or soil left in, by the method that wetted most. */
export interface ComebackCounts {
  readonly jobs: number;
  readonly cases: number;
  readonly byMethod: Readonly<Record<Method, { readonly jobs: number; readonly cases: number }>>;
}

/** A chance with its 90 % range and where it comes from. */
export interface ComebackRisk {
  readonly chance: number;
  readonly p05: number;
  readonly p95: number;
  /** Finished jobs by this method with a known outcome. */
  readonly jobs: number;
  readonly cases: number;
  readonly source: string;
}

/** Common practice, no source: perhaps three jobs in a hundred; worth ten jobs against what the shop has seen. */
const rule = { chance: 0.03, jobs: 10 };

/** How many jobs a method's own rate is held to the shop's by. */
const pooling = 20;

/** Comebacks that water or soil left in can cause; damage is another matter. */
export function isComeback({ outcome }: FinishedJob): boolean {
  return outcome?.comeback !== undefined && outcome.comeback !== 'none';
}

export function comebackCounts(records: readonly FinishedJob[]): ComebackCounts {
  const known = records.filter(({ outcome }) => outcome?.comeback !== undefined);
  const count = (jobs: readonly FinishedJob[]) => ({ jobs: jobs.length, cases: jobs.filter(isComeback).length });
  const byMethod = (method: Method) => count(known.filter((job) => wettest(job.sections) === method));
  return {
    ...count(known),
    byMethod: {
      spot: byMethod('spot'),
      extraction: byMethod('extraction'),
      'spot-then-extraction': byMethod('spot-then-extraction'),
    },
  };
}

/** Where only what came back was noted, and never that nothing did, the jobs with a known outcome are no sample: they tell no share. */
export function tellsShare({ jobs, cases }: Pick<ComebackCounts, 'jobs' | 'cases'>): boolean {
  return cases < jobs;
}

/** The chance that a planned job comes back: its method's rate, held to the shop's, that held to the rule of thumb. */
export function comebackRisk(counts: ComebackCounts, { sections }: PlannedJob): ComebackRisk {
  const isTold = tellsShare(counts);
  const { jobs, cases } = counts.byMethod[wettest(sections)];
  const shop = isTold ? (counts.cases + rule.chance * rule.jobs) / (counts.jobs + rule.jobs) : rule.chance;
  const a = pooling * shop + (isTold ? cases : 0);
  const b = pooling * (1 - shop) + (isTold ? jobs - cases : 0);
  return {
    chance: rounded(a / (a + b)),
    p05: rounded(betaQuantile(0.05, a, b)),
    p95: rounded(betaQuantile(0.95, a, b)),
    jobs,
    cases,
    source:
      jobs < pooling || !isTold
        ? 'mostly rule of thumb, which says little here: few finished jobs tell whether they came back'
        : `${cases} of ${jobs} finished jobs by this method came back`,
  };
}

/** The method that wets most of those used. */
function wettest(sections: readonly { readonly method: Method }[]): Method {
  return methods[Math.max(...sections.map(({ method }) => methods.indexOf(method)))];
}

function rounded(chance: number): number {
  return Number(chance.toFixed(4));
}
