import type { FinishedJob } from '../domain/record.ts';
import { litresPerUsGallon } from '../domain/units.ts';

/** How finely water was read from some job on. */
export interface ReadingStep {
  /** When that job was finished, in milliseconds since 1970. */
  readonly since: number;
  /** Of a job's totals, as the tanks tell them. */
  readonly stepL: number;
  /** Of what was read of one section, as like as not in a jug and finer. */
  readonly sectionStepL: number;
}

/** What a reading is of. */
export type ReadingOf = 'job' | 'section';

/**
 * Steps that tanks and jugs are read in, litres, coarse to fine. Among them parts of a US gallon, down to a fluid ounce: no litre figure is a
 * multiple of one, and what was read to quarter gallons is no multiple of any part of a litre, which would look exact.
 */
const partsOfGallon = [1, 2, 4, 8, 10, 16, 20, 32, 64, 100, 128];
const steps = [1, 0.5, 0.25, 0.1, 0.05, 0.01, ...partsOfGallon.map((part) => litresPerUsGallon / part)].sort(
  (a, b) => b - a,
);
const finestStep = 0.01;

/** In which tanks will be read where nobody has read any yet: marks lie a half litre to a litre apart. Common practice, no source. */
const usualStep = 0.5;

const shareOfMultiples = 0.95;

/** Measured jobs that tell a step of their own: by chance forty and more readings are no multiples of a coarser one. */
const jobsToTell = 20;

/**
 * The steps in which a shop has read its water, in order of time: of all its readings of a kind the coarsest of which nearly all are multiples, and
 * coarser where a stretch of jobs says so, for a shop that buys finer jugs has not read the old ones more finely.
 * Returns none where nothing was read.
 */
export function readingSteps(records: readonly FinishedJob[]): readonly ReadingStep[] {
  const measured = records
    .map((job) => ({
      since: Date.parse(job.finishedAt),
      job: litresOf(job),
      section: job.sections.flatMap(litresOf),
    }))
    .filter(({ job, section }) => job.length + section.length > 0)
    .sort((a, b) => a.since - b.since);
  if (measured.length === 0) return [];
  const stepOf = (jobs: typeof measured, of: ReadingOf) =>
    coarsestStep(
      jobs.flatMap((one) => one[of]),
      steps,
    );
  const ofStretch = (jobs: typeof measured, of: ReadingOf) =>
    jobs.flatMap((one) => one[of]).length < jobsToTell ? 0 : (stepOf(jobs, of) ?? 0);
  const [ofJobs, ofSections] = [stepOf(measured, 'job'), stepOf(measured, 'section')];
  const overall = { job: ofJobs ?? ofSections ?? finestStep, section: ofSections ?? ofJobs ?? finestStep };
  const count = Math.max(1, Math.floor(measured.length / jobsToTell));
  const stretches = Array.from({ length: count }, (_, i) =>
    measured.slice(i * jobsToTell, i === count - 1 ? undefined : (i + 1) * jobsToTell),
  );
  const told = stretches.map((jobs) => ({
    since: jobs[0].since,
    stepL: Math.max(overall.job, ofStretch(jobs, 'job')),
    sectionStepL: Math.max(overall.section, ofStretch(jobs, 'section')),
  }));
  return told.filter((one, i) => {
    const before = told[i - 1];
    return one.stepL !== before?.stepL || one.sectionStepL !== before.sectionStepL;
  });
}

/**
 * The step of a job's readings: that of its time, of one before all of them the first. Where the shop has read nothing before, that of the job's
 * own: taken as exact, whole litres of a first job would make its water surer than it is, and none left of them hardly any at all.
 */
export function stepOfJob(told: readonly ReadingStep[], job: FinishedJob, of: ReadingOf): number {
  const at = Date.parse(job.finishedAt);
  const known = told.length > 0 ? told : readingSteps([job]);
  const { stepL, sectionStepL } = known.findLast(({ since }) => since <= at) ?? known[0];
  return of === 'job' ? stepL : sectionStepL;
}

/** The step in which tanks are read now. */
export function latestStep(told: readonly ReadingStep[]): number {
  return told.at(-1)?.stepL ?? usualStep;
}

/** The first of the steps, coarse to fine, of which nearly all readings are multiples. */
export function coarsestStep(readings: readonly number[], of: readonly number[]): number | undefined {
  const fits = (step: number) =>
    readings.filter((r) => isMultiple(r, step)).length >= shareOfMultiples * readings.length;
  return readings.length === 0 ? undefined : of.find(fits);
}

function litresOf({ sprayedLitres, recoveredLitres }: Pick<FinishedJob, 'sprayedLitres' | 'recoveredLitres'>) {
  return [sprayedLitres, recoveredLitres].filter((value) => value !== undefined);
}

function isMultiple(value: number, step: number): boolean {
  const n = value / step;
  return Math.abs(n - Math.round(n)) < 1e-6 * Math.max(1, n);
}
