/** A night of a shop: the calendar day, in the shop's own zone, on whose `NIGHTLY_AT` the run falls due. */
export interface Night {
  readonly on: string;
}

/**
 * The latest night that has fallen due for a shop.
 *
 * Compares wall clocks, so that a run set to 02:30 still falls due once on the days when the clock skips or repeats
 * that half hour.
 *
 * @param nightlyAt wall-clock time `HH:MM` in the shop's zone
 * @example latestNight(new Date('2026-07-01T01:00:00Z'), 'Europe/London', '02:30') // { on: '2026-06-30' }: it is 02:00 there
 */
export function latestNight(now: Date, timeZone: string, nightlyAt: string): Night {
  const { day, time } = wallClock(now, timeZone);
  return { on: time >= nightlyAt ? day : dayBefore(day) };
}

function wallClock(now: Date, timeZone: string): { day: string; time: string } {
  const parts = new Intl.DateTimeFormat('en-CA', {
    timeZone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
  }).formatToParts(now);
  const part = (type: string) => parts.find((p) => p.type === type)?.value ?? '';
  return {
    day: `${part('year')}-${part('month')}-${part('day')}`,
    time: `${part('hour')}:${part('minute')}`,
  };
}

function dayBefore(day: string): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) - 86_400_000).toISOString().slice(0, 10);
}
