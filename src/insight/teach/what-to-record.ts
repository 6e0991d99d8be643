import { meanOf, narrowed } from '../../models/estimate/figure.ts';
import type { Entries } from '../../models/layout.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { readAs, shopView } from '../../models/shop-view.ts';
import { waterAndDryingCovariance } from '../../models/water-and-drying.ts';
import { waterForecast } from '../../models/water-forecast.ts';
import { inLastYear } from '../last-year.ts';
import type { ShopRecords } from '../shop-records.ts';
import { aidWithChecks, type JobFigures, jobFigures } from './job-figures.ts';
import { type JobGroup, jobGroups, type Noted } from './job-groups.ts';
import { learningFrom } from './learning.ts';
import { looksInWords } from './look-words.ts';

/** Ten more readings of one kind on one kind of job, and what they would teach. */
export interface Suggestion {
  readonly note: Noted;
  readonly of: JobGroup['of'];
  /** The technician's or machine's key, the fabric or the drying aid; empty for any job. */
  readonly key: string;
  /** Jobs of this kind that have such a reading already. */
  readonly jobsSoFar: number;
  /** How much narrower the range of a forecast would be on average over the shop's own work, 0 to 1. */
  readonly narrowsWater: number;
  readonly narrowsDrying: number;
  readonly text: string;
}

export interface RecordingReport {
  readonly answer: string;
  /** Jobs of the last year over which the gain is averaged. */
  readonly mixJobs: number;
  readonly suggestions: readonly Suggestion[];
  /** How looks are read that were noted only where they found it dry; null where wet ones are noted too. */
  readonly looks: string | null;
}

const moreJobs = 10;
const mostMixJobs = 60;
const noneYet = 'No job is recorded yet: note the first ones, with their litres and drying checks.';
const noneOfLate =
  'No job of the last year is recorded, so there is no work over which to reckon what more readings would teach.';
/** A range that is not a hundredth narrower is not worth ten readings. */
const worthIt = 0.01;

/**
 * Which records would teach most next: for ten more readings on each kind of job that the shop does, by how much the forecasts of water
 * and drying would narrow, averaged over its own work of the last year. Passes and minutes are in every record; litres and drying checks
 * are what a shop may or may not note.
 *
 * **Checked** tests/insight/teach.test.ts, against adding such records and fitting again
 */
export function whatToRecord(fit: ShopFit, shopRecords: ShopRecords, now: Date): RecordingReport {
  const { records, technicians, machines } = shopRecords;
  const view = shopView(records, technicians, machines, fit.rules, readAs(fit));
  const isRecent = inLastYear(now);
  const recent = view.jobs.filter(({ job }) => isRecent(job));
  const forecast = waterForecast(fit.models.water);
  const aid = aidWithChecks(view.jobs);
  const mix = evenly(recent, mostMixJobs).flatMap((done) => jobFigures(fit, view, forecast, done, aid) ?? []);
  const looks = looksInWords(fit, shopRecords);
  if (mix.length === 0)
    return { answer: records.length === 0 ? noneYet : noneOfLate, mixJobs: 0, suggestions: [], looks };
  const value = valuer(fit, mix);
  const suggestions = jobGroups(mix, view.jobs, shopRecords, now)
    .map((group) => ({ group, ...value(group) }))
    .filter(({ narrowsWater, narrowsDrying }) => Math.max(narrowsWater, narrowsDrying) >= worthIt)
    .sort((a, b) => b.narrowsWater + b.narrowsDrying - a.narrowsWater - a.narrowsDrying)
    .map(({ group, ...gain }) => suggestion(group, gain));
  return {
    answer: answerOf(suggestions, looks) + notReadYet(fit.nJobs, records.length),
    mixJobs: mix.length,
    suggestions,
    looks,
  };
}

interface Gain {
  readonly narrowsWater: number;
  readonly narrowsDrying: number;
}

/** Forecast variances of both figures over the mix, and what a group's readings take off them: litres tell of drying too, and checks of water. */
function valuer(fit: ShopFit, mix: readonly JobFigures[]): (group: JobGroup) => Gain {
  const { covariance, nColumns } = waterAndDryingCovariance(fit);
  const learning = learningFrom(covariance, nColumns);
  const water = mix.map((one) => one.water);
  const drying = mix.map((one) => one.drying);
  const total = (targets: readonly Entries[], noise: readonly number[]) =>
    meanOf(targets.map((target) => learning.variance(target))) + meanOf(noise);
  const waterTotal = total(
    water,
    mix.map(({ waterNoise }) => waterNoise),
  );
  const dryingTotal = total(
    drying,
    mix.map(({ dryingNoise }) => dryingNoise),
  );
  return ({ note, jobs }) => {
    const all = note === 'drying checks' ? jobs.map(({ checks }) => checks) : jobs.flatMap(({ tanks }) => tanks ?? []);
    const gone = learning.reductions(tenOf(all), [...water, ...drying]);
    return {
      narrowsWater: narrowed(meanOf(gone.subarray(0, mix.length)) / waterTotal),
      narrowsDrying: narrowed(meanOf(gone.subarray(mix.length)) / dryingTotal),
    };
  };
}

/** Ten readings, evenly from those there are, the same again where they are fewer. */
function tenOf<T>(readings: readonly T[]): readonly T[] {
  return Array.from({ length: moreJobs }, (_, i) => readings[Math.floor((i * readings.length) / moreJobs)]);
}

function evenly<T>(all: readonly T[], most: number): readonly T[] {
  const step = Math.max(1, all.length / most);
  return Array.from({ length: Math.min(all.length, most) }, (_, i) => all[Math.floor(i * step)]);
}

function suggestion({ note, of, key, name, jobsSoFar }: JobGroup, { narrowsWater, narrowsDrying }: Gain): Suggestion {
  const what =
    note === 'litres'
      ? 'Read the tanks, litres sprayed and recovered, on ten more jobs'
      : 'Note when it was still wet and when it was dry on ten more jobs';
  const percent = (share: number) => `${Math.round(100 * share)} %`;
  const gains = [
    ...(narrowsWater >= worthIt ? [`the range of the water left in about ${percent(narrowsWater)} narrower`] : []),
    ...(narrowsDrying >= worthIt ? [`the range of the hours until dry about ${percent(narrowsDrying)} narrower`] : []),
  ].join(', ');
  const text = `${what}${name} (${jobsSoFar} have it so far): over your own work it would make ${gains}.`;
  return { note, of, key, jobsSoFar, narrowsWater, narrowsDrying, text };
}

/** That the ranges are narrow is no reason to leave it where they rest on a guess of how people look. */
function answerOf([first]: readonly Suggestion[], looks: string | null): string {
  if (first === undefined)
    return `Ten more readings of any kind would narrow no range by a hundredth${looks === null ? ': what is noted now is enough' : ''}.`;
  return `What would teach most next: ${first.text}`;
}

/** The gains are those over the fit in use: where it has read much less than is recorded, part of them needs no new reading. */
function notReadYet(read: number, recorded: number): string {
  const unread = recorded - read;
  if (unread < moreJobs) return '';
  const why =
    read === 0
      ? `No fit is in use, so this is reckoned from the rules of thumb: the ${recorded} recorded jobs`
      : `The fit in use has not read ${unread} of the ${recorded} recorded jobs: they`;
  return ` ${why} will narrow the ranges without a new reading once a fit that has read them is in use, and leave less to gain.`;
}
