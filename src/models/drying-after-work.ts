import type { Machine, Technician } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import { clockHour } from '../domain/zoned-time.ts';
import { meanSigma2 } from '../inference/mixture-moments.ts';
import { normalProbability, normalQuantile } from '../inference/normal.ts';
import { predictorMoments } from '../inference/predict.ts';
import { type Caution, mouldCautions, type StillWet } from './cautions.ts';
import { dryingEvidence } from './estimate/evidence.ts';
import { significant } from './estimate/figure.ts';
import { columnCount } from './layout.ts';
import { clockHours, dayHours } from './nights.ts';
import { jobReadings } from './readings.ts';
import { type DryingPredictor, dryingPredictor } from './rows/drying-rows.ts';
import { sparse } from './rows/model-rows.ts';
import { waterRows } from './rows/water-rows.ts';
import type { ShopFit } from './shop-fit.ts';
import { readAs, type ShopView, shopView } from './shop-view.ts';
import { inWaterColumns } from './water-and-drying.ts';
import { givenReadings, type WaterForecast, waterForecast } from './water-forecast.ts';

/** When work that is done will be dry. */
export interface DryingAfterWork {
  /** From the end of the work until the slowest section is dry, on the clock: in one such job of ten it is less than p10. */
  readonly dryHours: { readonly p10: number; readonly p50: number; readonly p90: number };
  /** The hours by which it is dry with this chance. */
  readonly quantile: (chance: number) => number;
  readonly evidenceShare: number;
  readonly stillWet: StillWet;
  /** Where it may stay wet for so long that mould is to be thought of. */
  readonly cautions: readonly Caution[];
  /** Whether the tanks told how much was left in. */
  readonly knowsLitres: boolean;
  /** Hours after the work at which it was last found wet; undefined where nobody has looked. */
  readonly wetAt: number | undefined;
}

/** Hardly any such job is still wet by then: what is forecast of this one is no forecast. */
const beyondForecast = 0.99;

/**
 * The forecast of drying once the work is done: passes made, litres read, the air and any check that found it still wet are known, where an
 * estimate has to draw them. It is the predictor that the drying model reads of a job, so that checks and forecasts go by the same.
 * In closed form: hours of the day are log-normal, put on the clock from the end of the work; of a job found wet, above those.
 *
 * **Units** hours, chances 0 to 1.
 * **Returns** undefined where nothing was wetted, where it was found dry, or where hardly any such job stays wet as long as this one has.
 * **Checked** tests/models/drying-after-work.test.ts, against draws of the estimate that made the same passes and left the same litres
 */
export function dryingAfterWork(
  fit: ShopFit,
  job: FinishedJob,
  lists: { readonly technicians: readonly Technician[]; readonly machines: readonly Machine[] },
): DryingAfterWork | undefined {
  const checks = job.drying?.checks ?? [];
  const view = shopView([job], lists.technicians, lists.machines, fit.rules, readAs(fit));
  const [done] = view.jobs;
  const water = waterOf(fit, view, job);
  const predictor = dryingPredictor(view, fit.models.drying.layout, water, done);
  if (predictor === undefined || checks.some(({ dry }) => dry)) return undefined;
  const wetAt = checks.length === 0 ? undefined : Math.max(...checks.map(({ hours }) => hours));
  const hours = hoursUntilDry(fit, water, predictor, new Date(job.finishedAt), wetAt);
  if (hours === undefined) return undefined;
  const stillWet = { after24h: hours.stillWet(24), after48h: hours.stillWet(48) };
  return {
    dryHours: { p10: hours.quantile(0.1), p50: hours.quantile(0.5), p90: hours.quantile(0.9) },
    quantile: hours.quantile,
    evidenceShare: dryingEvidence(fit, { water: predictor.water, drying: predictor.entries }),
    stillWet,
    cautions: mouldCautions(stillWet),
    knowsLitres: jobReadings(job, done.sections).readings.length > 0,
    wetAt,
  };
}

/** With what its litres tell of the shop's, where they came after the fit: it has not read them yet. */
function waterOf({ fittedAt, models: { water } }: ShopFit, view: ShopView, { finishedAt }: FinishedJob): WaterForecast {
  const forecast = waterForecast(water);
  return Date.parse(finishedAt) < Date.parse(fittedAt)
    ? forecast
    : givenReadings(forecast, waterRows(view, water.layout));
}

/** On the clock, above those at which it was found wet. */
function hoursUntilDry(fit: ShopFit, water: WaterForecast, predictor: DryingPredictor, end: Date, wetAt = 0) {
  const { nights } = fit;
  const { mean, sd } = logHoursOf(fit, water, predictor);
  const from = clockHour(end, nights.timeZone);
  const chanceBy = (hours: number) => normalProbability((Math.log(dayHours(nights, from, hours)) - mean) / sd);
  const before = chanceBy(wetAt);
  if (before > beyondForecast) return undefined;
  return {
    quantile: (p: number) => {
      const logHours = mean + sd * normalQuantile(before + p * (1 - before));
      return significant(clockHours(nights, from, Math.exp(logHours)));
    },
    stillWet: (hours: number) => Math.min(1, (1 - chanceBy(hours)) / (1 - before)),
  };
}

/** Log hours of the day: what is known of drying given water, what of the water it hangs on, and the job's own chance. */
function logHoursOf(
  { models: { drying }, dryingGivenWater }: ShopFit,
  water: WaterForecast,
  { entries, water: ofLitres, offset, addedVariance }: DryingPredictor,
) {
  const onWater = inWaterColumns(dryingGivenWater, entries);
  const given = predictorMoments(dryingGivenWater.rest, sparse([{ entries }], columnCount(drying.layout)));
  return {
    mean: offset + given.mean[0] + water.expected(onWater),
    sd: Math.sqrt(
      given.variance[0] + water.variance([...ofLitres, ...onWater]) + meanSigma2(drying.posterior) + addedVariance,
    ),
  };
}
