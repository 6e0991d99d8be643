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
import { type LogRate, likeliestNight } from './nights.ts';
import { jobReadings } from './readings.ts';
import { throughOverLeft } from './rows/water-rows.ts';
import type { DoneJob, ShopView } from './shop-view.ts';
import { likeliestNoise, type Tanks, usualOf } from './tanks.ts';

/** How much of an hour of the day one of the night dries: the likeliest by the drying model itself. */
export function nightsLearnt(model: ModelInput, input: HowFitted): LogRate {
  const { nights, jobs } = model.shop;
  const checked = jobs.filter(({ job }) => (job.drying?.checks.length ?? 0) > 0);
  const evidence = evidenceOf(model, checked, input);
  return evidence ? likeliestNight(nights, (logRate) => evidence({ nights: { ...nights, logRate } })) : nights;
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
  return { through, noise: likeliestNoise((noise) => evidence({ tanks: { noise, through } })) };
}

/** So many records tell well enough how things are read. */
const mostForReading = 300;

/**
 * The log evidence of a model when records are read another way. All ways are tried on the same of these records, those that the fit by the
 * rule believes, at the spreads' maximum; undefined where there are none.
 */
function evidenceOf(
  model: ModelInput,
  jobs: readonly DoneJob[],
  input: HowFitted,
): ((as: Partial<ShopView>) => number | undefined) | undefined {
  const inTime = jobs.toSorted((a, b) => Date.parse(a.job.finishedAt) - Date.parse(b.job.finishedAt));
  const byRule = { ...model, shop: { ...model.shop, jobs: evenly(inTime, mostForReading) } };
  const first = fitModel(byRule, { ...input, integrate: false });
  if (isFailure(first) || first.model.used === 0) return undefined;
  const shop = without(byRule.shop, refsOf(first.model.leftOut));
  const start = startFrom(first.model, byRule);
  return (as) => {
    const other: ModelInput = { ...byRule, shop: { ...shop, ...as } };
    const tried = fittedRows(other, other.read(other.shop, other.layout), { ...start, integrate: false });
    return isFailure(tried) ? undefined : tried.posterior.trace.logMarginal;
  };
}
