import { ewmaChart } from '../../inference/control-chart.ts';
import { concerning } from './multipliers.ts';
import type { WaterResidual } from './residuals.ts';

/** A lasting rise in what one technician leaves in, and the job it began with. */
export interface WetnessChange {
  readonly since: string;
  readonly firstRef: string;
  /** It was so from the first measured job: no change, but the person's way from the start. */
  readonly fromTheFirst: boolean;
  /** How much of it is over the others' level lately, as a factor, at equal dry passes: what is expected of a job takes its own for granted. */
  readonly levelNow: number;
  /** The 90 % range of that. */
  readonly levelRange: { readonly p05: number; readonly p95: number };
}

const lambda = 0.2;
const clip = 3;
/** Residuals here are heavier-tailed than a chart's textbook 3 allows for; with 4 about one shop in 150 is alarmed for nothing. */
const width = 4;
const fewest = 5;

/**
 * Whether, and since when, a technician's jobs have been wetter: an EWMA of standardised residuals beyond 4 standard deviations, and an
 * EWMA of the raw ones beyond the concerning level. `centre` and `spread` are those of everybody else's residuals.
 */
export function wetnessChange(
  own: readonly WaterResidual[],
  centre: number,
  spread: number,
): WetnessChange | undefined {
  if (own.length < fewest) return undefined;
  const raw = own.map(({ log }) => log - centre);
  const scaled = raw.map((value) => Math.max(-clip, Math.min(clip, value / spread)));
  const chart = ewmaChart(scaled, { lambda, target: 0, sigma: 1, width, limits: 'settled' });
  const level = ewmaChart(raw, { lambda, target: 0, sigma: spread, width, limits: 'settled' });
  const last = own.length - 1;
  const signals = chart.some(({ signal, level: at }, i) => signal && at > 0 && level[i].level > Math.log(concerning));
  const stillHigh = level[last].level > Math.log(concerning);
  if (!signals || !stillHigh) return undefined;
  const first = likeliestStart(scaled);
  const now = level[last].level;
  const half = 1.645 * spread * Math.sqrt(lambda / (2 - lambda));
  return {
    since: own[first].finishedAt,
    firstRef: own[first].ref,
    fromTheFirst: first === 0,
    levelNow: Math.exp(now),
    levelRange: { p05: Math.exp(now - half), p95: Math.exp(now + half) },
  };
}

/**
 * The job from which on a level of its own explains the residuals best: the split into two means with the least squares left over, the
 * maximum of the likelihood for one step. 0 where the jobs before it were hardly drier: then it was so from the first.
 * Source: D. V. Hinkley, Inference about the change-point in a sequence of random variables, Biometrika 57 (1970) 1–17.
 */
function likeliestStart(values: readonly number[]): number {
  const n = values.length;
  const total = values.reduce((sum, value) => sum + value, 0);
  let [best, start, before] = [0, 0, 0];
  let sum = 0;
  for (let k = 1; k < n; k++) {
    sum += values[k - 1];
    const rise = (total - sum) / (n - k) - sum / k;
    const explained = ((k * (n - k)) / n) * rise * Math.abs(rise);
    if (explained > best) [best, start, before] = [explained, k, sum / k];
  }
  const since = start === 0 ? 0 : (total - before * start) / (n - start);
  return before > since / 2 ? 0 : start;
}

/** Middle and spread of residuals by median and median absolute deviation: a few wild jobs do not widen the limits. */
export function centreAndSpread(values: readonly number[]): { readonly centre: number; readonly spread: number } {
  const centre = median(values);
  // 1.4826 makes the median absolute deviation of a normal its standard deviation.
  return { centre, spread: Math.max(0.05, 1.4826 * median(values.map((value) => Math.abs(value - centre)))) };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}
