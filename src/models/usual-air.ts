import type { FinishedJob } from '../domain/record.ts';
import { type DryingAid, dryingAids } from '../domain/vocabulary.ts';

/** Mean and standard deviation of what the air may be where nobody said. */
interface UsualValue {
  readonly mean: number;
  readonly sd: number;
}

/** In °C and per cent. */
interface AirValues {
  readonly airC: UsualValue;
  readonly rhPercent: UsualValue;
}

/** The air that things dry in here: of all jobs, and with each aid that some records tell of the air with. */
export interface UsualAir extends AirValues {
  readonly byAid: Readonly<Partial<Record<DryingAid, AirValues>>>;
}

/** A heated bay; its spread over seasons and towns is that of the standard deviations. Common practice, no source. */
export const typicalAir: UsualAir = { airC: { mean: 20, sd: 4 }, rhPercent: { mean: 50, sd: 12 }, byAid: {} };

/** Pseudo-records of the typical bay, and of the shop's air as a whole for that with one aid. */
const shrinkage = 4;

/**
 * What this shop wrote of its air, shrunk to the typical bay: mean and spread. With one aid it is shrunk to the shop's: a warm room is warmer,
 * a dehumidifier's air drier than the rest of the bay, and so are the jobs there whose air nobody wrote down.
 */
export function usualAir(records: readonly FinishedJob[]): UsualAir {
  const ofAll = airOf(records, typicalAir);
  const byAid: Partial<Record<DryingAid, AirValues>> = {};
  for (const aid of dryingAids) {
    const told = records.filter(({ drying }) => drying?.aid === aid && tellsOfAir(drying));
    if (told.length > 0) byAid[aid] = airOf(told, ofAll);
  }
  return { ...ofAll, byAid };
}

/** With this aid, as far as records tell of it; of all jobs where no aid is said. */
export function usualAirWith(aid: DryingAid | undefined, usual: UsualAir): AirValues {
  return (aid && usual.byAid[aid]) ?? usual;
}

function tellsOfAir({ airC, rhPercent }: NonNullable<FinishedJob['drying']>): boolean {
  return airC !== undefined || rhPercent !== undefined;
}

function airOf(records: readonly FinishedJob[], to: AirValues): AirValues {
  const said = (piece: keyof AirValues) => records.flatMap(({ drying }) => drying?.[piece] ?? []);
  return { airC: shrunk(said('airC'), to.airC), rhPercent: shrunk(said('rhPercent'), to.rhPercent) };
}

function shrunk(values: readonly number[], to: UsualValue): UsualValue {
  const n = values.length + shrinkage;
  const mean = (values.reduce((a, b) => a + b, 0) + shrinkage * to.mean) / n;
  const about = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, sd: Math.sqrt((about + shrinkage * (to.sd ** 2 + (to.mean - mean) ** 2)) / n) };
}
