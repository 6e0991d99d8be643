import { zonedMinute } from '../src/domain/zoned-time.ts';

/**
 * The latest night that has fallen due for a shop: the calendar day, in the shop's own zone, on whose `NIGHTLY_AT` the
 * run falls due.
 *
 * Compares wall clocks, so that a run set to 02:30 still falls due once on the days when the clock skips or repeats
 * that half hour.
 *
 * @param nightlyAt wall-clock time `HH:MM` in the shop's zone
 * @example latestNight(new Date('2026-07-01T01:00:00Z'), 'Europe/London', '02:30') // '2026-06-30': it is 02:00 there
 */
export function latestNight(now: Date, timeZone: string, nightlyAt: string): string {
  const clock = zonedMinute(now, timeZone);
  const [day, time] = [clock.slice(0, 10), clock.slice(11, 16)];
  return time >= nightlyAt ? day : dayBefore(day);
}

function dayBefore(day: string): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) - 86_400_000).toISOString().slice(0, 10);
}
