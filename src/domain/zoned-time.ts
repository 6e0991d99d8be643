/**
 * An instant as RFC 3339 in a time zone, to the minute: what a clock in that town shows, with its offset from UTC.
 * @example zonedMinute(new Date('2026-07-01T12:00:00Z'), 'Europe/London') // '2026-07-01T13:00:00+01:00'
 */
export function zonedMinute(instant: Date, timeZone: string): string {
  const minute = new Date(Math.round(instant.getTime() / 60_000) * 60_000);
  const parts = clockOf(timeZone).formatToParts(minute);
  const part = (type: Intl.DateTimeFormatPartTypes) => parts.find((p) => p.type === type)?.value ?? '';
  const offset = part('timeZoneName').replace('GMT', '') || '+00:00';
  return `${part('year')}-${part('month')}-${part('day')}T${part('hour')}:${part('minute')}:00${offset}`;
}

// Making one costs more than the rest of an estimate's arithmetic; a zone's clock never changes.
const clocks = new Map<string, Intl.DateTimeFormat>();

function clockOf(timeZone: string): Intl.DateTimeFormat {
  const kept = clocks.get(timeZone);
  if (kept !== undefined) return kept;
  const made = new Intl.DateTimeFormat('en-CA', {
    timeZone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    timeZoneName: 'longOffset',
  });
  clocks.set(timeZone, made);
  return made;
}
