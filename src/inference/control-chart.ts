import { meanRangeFactor, rangeSpreadFactor } from './control-constants.ts';

export interface EwmaSettings {
  /** Weight of the newest value, in (0, 1]. */
  readonly lambda: number;
  readonly target: number;
  readonly sigma: number;
  /** Width of the limits in standard deviations of the average. */
  readonly width: number;
  /** `settled`: the limits of a long run throughout; `growing`: those of the average after t values. */
  readonly limits: 'settled' | 'growing';
}

export interface ChartPoint {
  readonly level: number;
  readonly lower: number;
  readonly upper: number;
  readonly signal: boolean;
}

/**
 * Exponentially weighted moving average of a series against its control limits: finds a small lasting shift that single
 * values hide. The average starts at the target.
 *
 * **Source** NIST/SEMATECH e-Handbook 6.3.2.4; growing limits: Lucas and Saccucci, Technometrics 32 (1990) 1.
 * **Checked** tests/references/control-charts.test.ts
 */
export function ewmaChart(values: ArrayLike<number>, settings: EwmaSettings): ChartPoint[] {
  const { lambda, target } = settings;
  const points: ChartPoint[] = [];
  let level = target;
  for (let i = 0; i < values.length; i += 1) {
    level = lambda * values[i] + (1 - lambda) * level;
    const half = ewmaHalfWidth(settings, i + 1);
    points.push({ level, lower: target - half, upper: target + half, signal: Math.abs(level - target) > half });
  }
  return points;
}

/** Distance of the limits from the target after `count` values: width · sigma · √(λ/(2 − λ) · (1 − (1 − λ)^2t)), the last factor 1 when settled. */
export function ewmaHalfWidth({ lambda, sigma, width, limits }: EwmaSettings, count: number): number {
  const settled = lambda / (2 - lambda);
  const grown = limits === 'settled' ? 1 : 1 - (1 - lambda) ** (2 * count);
  return width * sigma * Math.sqrt(settled * grown);
}

interface IndividualsChart {
  readonly mean: number;
  readonly meanRange: number;
  readonly lower: number;
  readonly upper: number;
  /** Upper limit of the moving range. */
  readonly rangeUpper: number;
  readonly signals: readonly number[];
}

/**
 * Shewhart chart of single values, its spread taken from the moving range of neighbours, so that a slow drift does not widen it.
 * Limits three standard deviations out.
 *
 * **Returns** `signals`: indexes of the values outside. NaN limits for fewer than two values.
 * **Source** NIST/SEMATECH e-Handbook 6.3.2.2.
 * **Checked** tests/references/control-charts.test.ts
 */
export function individualsChart(values: ArrayLike<number>, factor = meanRangeFactor(2)): IndividualsChart {
  const series = Array.from(values);
  const mean = series.reduce((sum, value) => sum + value, 0) / series.length;
  const ranges = series.slice(1).map((value, i) => Math.abs(value - series[i]));
  const meanRange = ranges.reduce((sum, range) => sum + range, 0) / ranges.length;
  const half = (3 * meanRange) / factor;
  const signals = series.flatMap((value, i) => (Math.abs(value - mean) > half ? [i] : []));
  const rangeUpper = meanRange * (1 + (3 * rangeSpreadFactor) / meanRangeFactor(2));
  return { mean, meanRange, lower: mean - half, upper: mean + half, rangeUpper, signals };
}
