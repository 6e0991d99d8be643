import type { FinishedJob } from '../domain/record.ts';

/** Mean and standard deviation of what the air may be where nobody said. */
interface UsualValue {
  readonly mean: number;
  readonly sd: number;
}

/** The air that things dry in here, in °C and per cent. */
export interface UsualAir {
  readonly airC: UsualValue;
  readonly rhPercent: UsualValue;
}

/** A heated bay; its spread over seasons and towns is that of the standard deviations. Common practice, no source. */
export const typicalAir: UsualAir = { airC: { mean: 20, sd: 4 }, rhPercent: { mean: 50, sd: 12 } };

/** Pseudo-records of the typical bay. */
const shrinkage = 4;

/** What this shop wrote of its air, shrunk to the typical bay: mean and spread. */
export function usualAir(records: readonly FinishedJob[]): UsualAir {
  const said = (piece: keyof UsualAir) => records.flatMap(({ drying }) => drying?.[piece] ?? []);
  return {
    airC: shrunk(said('airC'), typicalAir.airC),
    rhPercent: shrunk(said('rhPercent'), typicalAir.rhPercent),
  };
}

function shrunk(values: readonly number[], to: UsualValue): UsualValue {
  const n = values.length + shrinkage;
  const mean = (values.reduce((a, b) => a + b, 0) + shrinkage * to.mean) / n;
  const about = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, sd: Math.sqrt((about + shrinkage * (to.sd ** 2 + (to.mean - mean) ** 2)) / n) };
}
