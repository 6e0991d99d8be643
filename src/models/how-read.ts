import { dryAloneTimes, hasWetLook, isChecked, isDryAlone, noteDryAlone } from './dry-alone.ts';
import { evenly } from './evenly.ts';
import {
  fitModel,
  fittedRows,
  type HowFitted,
  isFailure,
  type ModelInput,
  refsOf,
  startFrom,
  without,
} from './fit-model.ts';
import { type Looks, likeliestWetUntil } from './looks.ts';
import { type LogRate, likeliestNight } from './nights.ts';
import { jobReadings } from './readings.ts';
import { type CheckedJobs, onlyDryHours } from './rows/drying-rows.ts';
import { throughOverLeft } from './rows/water-rows.ts';
import { likeliestSpread } from './section-spread.ts';
import type { DoneJob, ShopView } from './shop-view.ts';
import { likeliestNoise, type Tanks, usualOf } from './tanks.ts';

/** How much of an hour of the day one of the night dries: the likeliest by the drying model itself. */
export function nightsLearnt(model: ModelInput, input: HowFitted): LogRate {
  const { nights } = model.shop;
  const evidence = evidenceOf(model, checkedOf(model), input);
  return evidence ? likeliestNight(nights, (logRate) => evidence.of({ nights: { ...nights, logRate } })) : nights;
}

/** How far off the tanks are beside their step: by the water model itself. */
export function tanksLearnt(model: ModelInput, input: HowFitted): Tanks {
  const { shop } = model;
  const read = shop.jobs.flatMap((done) =>
    jobReadings(done.job, done.sections)
      .readings.filter(({ of }) => of === 'job')
      .map((reading) => ({ done, through: throughOverLeft(shop, done, reading) })),
  );
  const jobs = read.map(({ done }) => done);
  const evidence = evidenceOf(model, jobs, input);
  if (evidence === undefined) return shop.tanks;
  const through = usualOf(read.map((one) => one.through));
  return { through, noise: likeliestNoise((noise) => evidence.of({ tanks: { noise, through } })) };
}

/** How people look whether it is dry: by the drying model too, as many looks are noted only where they found it so. */
export function looksLearnt(model: ModelInput, checked: CheckedJobs, input: HowFitted): Looks {
  const jobs = checkedOf(model);
  const byRule = { ...model.shop.looks, dryAlone: dryAloneTimes(jobs.map(({ job }) => job)) };
  const isAlone = ({ job }: DoneJob) => !hasWetLook(job) && isDryAlone(byRule.dryAlone, job);
  if (jobs.filter(isAlone).length < fewestDryAlone(jobs)) return model.shop.looks;
  const evidence = evidenceOf(model, jobs, input);
  const hours = evidence?.jobs.filter(isAlone).flatMap((done) => onlyDryHours(checked(done)) ?? []) ?? [];
  if (evidence === undefined || hours.length === 0) return byRule;
  const wetUntil = likeliestWetUntil(hours, (as) => evidence.of({ looks: { ...byRule, wetUntil: as } }));
  return { ...byRule, wetUntil };
}

/** Where wet looks are noted, ten in a row without one come about by chance too, and of few of them the evidence says either. */
function fewestDryAlone(checked: readonly DoneJob[]): number {
  return noteDryAlone(checked.map(({ job }) => job)) ? 1 : Math.max(15, checked.length / 6);
}

/** How far the water of a job's sections lies apart: by the water model itself, of jobs whose sections were read one by one. */
export function sectionSpreadLearnt(model: ModelInput, input: HowFitted): number {
  const { shop } = model;
  const read = shop.jobs.filter((done) => jobReadings(done.job, done.sections).readings.length > 1);
  const evidence = evidenceOf(model, read, input);
  return evidence ? likeliestSpread((sectionSpread) => evidence.of({ sectionSpread })) : shop.sectionSpread;
}

/** So many records tell well enough how things are read. */
const mostForReading = 300;

/**
 * The log evidence of a model when records are read another way. All ways are tried on the same of these records, those that the fit by the
 * rule believes, at the spreads' maximum; undefined where there are none.
 */
function evidenceOf(model: ModelInput, jobs: readonly DoneJob[], input: HowFitted): Evidence | undefined {
  if (jobs.length === 0) return undefined;
  const inTime = jobs.toSorted((a, b) => Date.parse(a.job.finishedAt) - Date.parse(b.job.finishedAt));
  const byRule = { ...model, shop: { ...model.shop, jobs: evenly(inTime, mostForReading) } };
  const first = fitModel(byRule, { ...input, integrate: false });
  if (isFailure(first) || first.model.used === 0) return undefined;
  const shop = without(byRule.shop, refsOf(first.model.leftOut));
  const start = startFrom(first.model, byRule);
  return {
    jobs: shop.jobs,
    of: (as) => {
      const other: ModelInput = { ...byRule, shop: { ...shop, ...as } };
      const tried = fittedRows(other, other.read(other.shop, other.layout), { ...start, integrate: false });
      return isFailure(tried) ? undefined : tried.posterior.trace.logMarginal;
    },
  };
}

function checkedOf({ shop }: ModelInput): readonly DoneJob[] {
  return shop.jobs.filter(({ job }) => isChecked(job));
}

interface Evidence {
  /** Those of the records on which all ways are tried. */
  readonly jobs: readonly DoneJob[];
  of(as: Partial<ShopView>): number | undefined;
}
