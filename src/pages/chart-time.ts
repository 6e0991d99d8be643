import type { ChartOptions } from './chart.ts';
import type { Formats } from './format.ts';

/** The axis below a picture of moments: over a few days by the shop's own clock, else by days and months. */
export function timeAxis(times: readonly Date[], formats: Formats): ChartOptions['x'] {
  const axis = { type: 'utc', label: null, ticks: 4 } as const;
  const stamps = times.map((at) => at.getTime());
  if (Math.max(...stamps) - Math.min(...stamps) > shortMs) return axis;
  return { ...axis, tickFormat: (at: Date) => `${formats.time(at)}\n${formats.dayShort(at)}` };
}

/** Over more than this, four marks fall on whole days. */
const shortMs = 3 * 86_400_000;
