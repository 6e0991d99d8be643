import type { FinishedJob } from '../../domain/record.ts';
import { fabrics, methods, soils, stains } from '../../domain/vocabulary.ts';
import { packedLength } from '../../inference/cholesky.ts';
import { poissonRegression } from '../../inference/poisson.ts';
import { sparseRows } from '../../inference/sparse.ts';
import {
  type ComebackTally,
  comebackTally,
  isComeback,
  ruleShare,
  silenceText,
  wettest,
} from '../../models/comebacks.ts';
import { predictorAt } from '../../models/layout.ts';
import type { Range } from '../range.ts';

/** What came back of the jobs somebody worked on, against the others at such work. */
export interface PersonComebacks extends ComebackTally {
  /** How many would have come back, had the others done these jobs. */
  readonly expected: number;
  /** Chance that a job comes back, times that of the others at the same work, with its 90 % range. */
  readonly timesOthers: Range;
}

/** Common practice, no source: how far the share of two shops, and the risks of kinds of work and of people, lie apart, as a factor e^sd. */
const sd = { shop: 0.7, kind: 0.5, person: 0.6 };
const z95 = 1.6448536;

/**
 * Each technician's comebacks, adjusted for what they worked on: a regression of what came back on the wettest method, the heaviest soil, the
 * fabrics, the stains and who did it, each by their minutes; everyone's effect is told against the mean of the others'.
 * A kind of work that only one of them does cannot be told from the person: both are held to the rule that neither matters much.
 *
 * **Shapes** the jobs that count ({@link countedJobs}) and everyone's keys, two or more; one answer a key.
 * **Checked** tests/insight/comebacks-by-technician.test.ts
 */
export function comebacksByTechnician(
  counted: readonly FinishedJob[],
  people: readonly string[],
): readonly PersonComebacks[] {
  const firstPerson = kinds.length + 1;
  const ofKinds = (job: FinishedJob) => kindsOf(job).map((kind) => [1 + kinds.indexOf(kind), 1] as const);
  const ofPeople = (job: FinishedJob) =>
    minuteShares(job).map(([key, share]) => [firstPerson + people.indexOf(key), share] as const);
  const { coefficients, covariance } = poissonRegression(
    sparseRows(
      firstPerson + people.length,
      counted.map((job) => [[0, 1] as const, ...ofKinds(job), ...ofPeople(job)]),
    ),
    counted.map((job) => (isComeback(job) ? 1 : 0)),
    {
      mean: [Math.log(ruleShare), ...kinds.map(() => 0), ...people.map(() => 0)],
      sd: [sd.shop, ...kinds.map(() => sd.kind), ...people.map(() => sd.person)],
    },
  );
  return people.map((key, k) => {
    const weights = people.map((_, other) => (other === k ? 1 : -1 / (people.length - 1)));
    const gap = weights.reduce((sum, weight, i) => sum + weight * coefficients[firstPerson + i], 0);
    const spread = z95 * Math.sqrt(quadraticForm(covariance, firstPerson, weights));
    const own = counted.filter(({ labour }) => labour.some(({ technician }) => technician === key));
    const expected = own.reduce((sum, job) => {
      const share = minuteShares(job).find(([technician]) => technician === key)?.[1] ?? 0;
      return (
        sum +
        Math.exp(
          coefficients[0] +
            predictorAt(coefficients, ofKinds(job)) +
            predictorAt(coefficients, ofPeople(job)) -
            share * gap,
        )
      );
    }, 0);
    const timesOthers = { p05: Math.exp(gap - spread), p50: Math.exp(gap), p95: Math.exp(gap + spread) };
    return { ...comebackTally(own), expected, timesOthers };
  });
}

/** What the figures rest on, for they are no proof of dry work where nobody notes. */
export function comebackBasis(all: readonly FinishedJob[]): string {
  const tally = comebackTally(all);
  if (tally.jobs === 0)
    return 'Of no job finished between two noted outcomes and at least four weeks ago is it known whether it came back.';
  const told = `${tally.cases} of ${tally.jobs} jobs finished at least four weeks ago came back`;
  return `${[told, silenceText(tally)].filter(Boolean).join('; ')}.`;
}

const kinds: readonly string[] = [...methods, ...soils, ...fabrics, ...stains.map(stained)];

function kindsOf({ sections }: FinishedJob): readonly string[] {
  const heaviest = soils[Math.max(...sections.map(({ soil }) => soils.indexOf(soil)))];
  const seen = new Set(sections.flatMap((section) => [section.fabric, ...section.stains.map(stained)]));
  return [wettest(sections), heaviest, ...seen];
}

/** A stain's name is its own, whatever else is called so. */
function stained(stain: string): string {
  return `${stain} stain`;
}

/** Everybody's share of the minutes of a job. */
function minuteShares({ labour }: FinishedJob): readonly (readonly [key: string, share: number])[] {
  const all = labour.reduce((sum, { minutes }) => sum + minutes, 0);
  return labour.map(({ technician, minutes }) => [technician, all > 0 ? minutes / all : 1 / labour.length]);
}

/** wᵀ V w of the block of a packed V that begins at `first`. */
function quadraticForm(packed: Float64Array, first: number, weights: readonly number[]): number {
  const at = (i: number, j: number) => packed[packedLength(first + Math.max(i, j)) + first + Math.min(i, j)];
  return weights.reduce((sum, w, i) => weights.reduce((inner, v, j) => inner + w * v * at(i, j), sum), 0);
}
