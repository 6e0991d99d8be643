import { normalProbability, normalQuantile } from '../../inference/normal.ts';
import { crpsLogNormal } from '../../inference/scores.ts';
import { crpsOfSorted, shareAtOrBelow } from '../../inference/scores-ensemble.ts';

/** A forecast of one figure before it came, however it was made: the same scores can be asked of each. */
export interface Forecast {
  atOrBelow(value: number): number;
  quantile(probability: number): number;
  mean(): number;
  /** Continuous ranked probability score, in the figure's units. */
  crps(value: number): number;
}

/** All that is forecast of a job. */
export interface JobForecast {
  /** Passes made, by section. */
  readonly passes: readonly Forecast[];
  readonly hours: Forecast;
  /** L/m² as it will be read: by a job's tanks, or in each of its sections. */
  readonly litres: Forecast;
  readonly dryHours: Forecast;
}

/** Draws from whatever made them. */
export function ensemble(draws: ArrayLike<number>): Forecast {
  const sorted = Float64Array.from(draws).sort();
  return {
    atOrBelow: (value) => shareAtOrBelow(sorted, value),
    quantile: (probability) => sorted[Math.min(sorted.length - 1, Math.floor(probability * sorted.length))],
    mean: () => sorted.reduce((sum, draw) => sum + draw, 0) / sorted.length,
    crps: (value) => crpsOfSorted(sorted, value),
  };
}

/** A log-normal one; of passes it is the effort, of which k passes are (k − 1, k]. */
export function logNormal(meanLog: number, sdLog: number): Forecast {
  return {
    atOrBelow: (value) => (value > 0 ? normalProbability((Math.log(value) - meanLog) / sdLog) : 0),
    quantile: (probability) => Math.exp(meanLog + sdLog * normalQuantile(probability)),
    mean: () => Math.exp(meanLog + sdLog ** 2 / 2),
    crps: (value) => crpsLogNormal(value, meanLog, sdLog),
  };
}

/** Of a stretch divided so often its middle stands for each part: the mean is off by some ten-thousandths at most. */
const parts = 8;

/** Mean of a forecast's distribution function over a stretch. */
export function meanAtOrBelow(forecast: Forecast, from: number, to: number): number {
  let sum = 0;
  for (let part = 0; part < parts; part++) sum += forecast.atOrBelow(from + ((part + 0.5) / parts) * (to - from));
  return sum / parts;
}
