import type { ModelName } from '../../domain/doubts.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { kindsBy } from '../quotes/kinds.ts';
import { type Forecast, type JobForecast, logNormal } from '../scoring/forecast.ts';
import type { Outcome } from '../scoring/outcomes.ts';

/** Pseudo-outcomes that hold a soil level's mean to that of all levels. */
const shrinkage = 3;
/** Fewer outcomes than this have no spread of their own worth using. */
const fewest = 5;
const leastSpread = 0.05;

/** A finished job and what came of it. */
export interface SeenJob {
  readonly job: FinishedJob;
  readonly outcomes: readonly Outcome[];
}

/** The plainest way to learn: mean and spread of the logarithm by soil level, the job's heaviest, of passes the section's own. */
export function soilMeans(seen: readonly SeenJob[]): (job: FinishedJob) => Partial<JobForecast> {
  const tables = {
    passes: soilTable(valuesOf('passes', seen)),
    labour: soilTable(valuesOf('labour', seen)),
    water: soilTable(valuesOf('water', seen)),
    drying: soilTable(valuesOf('drying', seen)),
  };
  return (job) => {
    const soil = kindsBy.heaviestSoil(job);
    const passes = job.sections.map((section) => tables.passes(section.soil));
    return {
      ...(passes.every((one) => one !== undefined) ? { passes } : {}),
      hours: tables.labour(soil),
      litres: tables.water(soil),
      dryHours: tables.drying(soil),
    };
  };
}

/**
 * One number for an outcome that is only known to lie between two: the middle, of litres also where none was left; half a pass less than were
 * made; half as much again as the last wet check where it was never seen dry. Undefined where nothing is known.
 */
export function typicalValue({ model, from, to, value }: Pick<Outcome, 'model' | 'from' | 'to' | 'value'>) {
  if (model === 'passes') return to - 0.5;
  if (value !== undefined && value > 0) return value;
  if (Number.isFinite(to)) return (from + to) / 2;
  return from > 0 ? 1.5 * from : undefined;
}

interface SoilValue {
  readonly soil: string;
  readonly log: number;
}

function valuesOf(model: ModelName, seen: readonly SeenJob[]): readonly SoilValue[] {
  return seen.flatMap(({ job, outcomes }) =>
    outcomes.flatMap((outcome) => {
      const value = outcome.model === model ? typicalValue(outcome) : undefined;
      const soil = outcome.section === undefined ? kindsBy.heaviestSoil(job) : job.sections[outcome.section].soil;
      return value === undefined ? [] : [{ soil, log: Math.log(value) }];
    }),
  );
}

function soilTable(values: readonly SoilValue[]): (soil: string) => Forecast | undefined {
  if (values.length < fewest) return () => undefined;
  const all = summary(values);
  const forecasts = new Map<string, Forecast>();
  for (const soil of new Set(values.map((one) => one.soil))) {
    const own = values.filter((one) => one.soil === soil);
    const { mean, sd } = summary(own);
    const shrunk = (own.length * mean + shrinkage * all.mean) / (own.length + shrinkage);
    forecasts.set(soil, logNormal(shrunk, own.length < fewest ? all.sd : sd));
  }
  return (soil) => forecasts.get(soil) ?? logNormal(all.mean, all.sd);
}

function summary(values: readonly SoilValue[]) {
  const mean = values.reduce((sum, { log }) => sum + log, 0) / values.length;
  const squares = values.reduce((sum, { log }) => sum + (log - mean) ** 2, 0);
  return { mean, sd: Math.max(leastSpread, Math.sqrt(squares / Math.max(1, values.length - 1))) };
}
