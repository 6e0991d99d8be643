import { type ChartPoint, ewmaChart } from '../../inference/control-chart.ts';
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
 * A rise that has gone again, the average back at the others' level, is over: whoever has mended it is judged from there on as anybody is.
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
  const from = afterLastRise(chart);
  const signals = chart.some((at, i) => i >= from && isRise(at) && level[i].level > Math.log(concerning));
  const stillHigh = level[last].level > Math.log(concerning);
  if (!signals || !stillHigh) return undefined;
  const first = from + likeliestStart(scaled.slice(from));
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

function isRise({ signal, level }: ChartPoint): boolean {
  return signal && level > 0;
}

/** The first job after the last rise that was seen and has gone again; 0 where none has. */
function afterLastRise(chart: readonly ChartPoint[]): number {
  let from = 0;
  let isRisen = false;
  chart.forEach((at, i) => {
    if (isRise(at)) isRisen = true;
    if (!isRisen || at.level > 0) return;
    from = i + 1;
    isRisen = false;
  });
  return from;
}

/**
 * The job from which on these residuals, in standard deviations, have a level of their own, and are those of the others before; 0 where it is as
 * likely that they had it from the first: every job as likely a beginning as any other, and none as likely as one. The likeliest split alone
 * dates a level that never changed whenever the first job or two happen to be dry. With T the sum of all n, L that of the n − k since, the
 * squares left over by a beginning at k are L²/(n − k) − T²/n fewer than by one level.
 *
 * **Source** D. V. Hinkley, Inference about the change-point in a sequence of random variables, Biometrika 57 (1970) 1–17.
 * **Checked** tests/insight/wetness.test.ts
 */
function likeliestStart(values: readonly number[]): number {
  const n = values.length;
  const total = values.reduce((sum, value) => sum + value, 0);
  let [most, start, odds, later] = [Number.NEGATIVE_INFINITY, 0, 0, total];
  for (let k = 1; k < n; k++) {
    later -= values[k - 1];
    const fewer = Math.max(0, later) ** 2 / (n - k) - total ** 2 / n;
    odds += Math.exp(fewer / 2) / (n - 1);
    if (fewer > most) [most, start] = [fewer, k];
  }
  return odds > 1 ? start : 0;
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
