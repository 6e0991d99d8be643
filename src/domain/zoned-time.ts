/**
 * An instant as RFC 3339 in a time zone, to the nearest minute: what a clock in that town shows, with its offset from UTC.
 * @example zonedMinute(new Date('2026-07-01T12:00:00Z'), 'Europe/London') // '2026-07-01T13:00:00+01:00'
 */
export function zonedMinute(instant: Date, timeZone: string): string {
  const minute = new Date(Math.round(instant.getTime() / 60_000) * 60_000);
  const parts = clockOf(timeZone).formatToParts(minute);
  const part = (type: Intl.DateTimeFormatPartTypes) => parts.find((p) => p.type === type)?.value ?? '';
  const offset = part('timeZoneName').replace('GMT', '') || '+00:00';
  return `${part('year')}-${part('month')}-${part('day')}T${part('hour')}:${part('minute')}:00${offset}`;
}

/** The day that a calendar in that town shows, such as `2026-07-01`: of the minute that has begun, not of the nearest. */
export function zonedDay(instant: Date, timeZone: string): string {
  const minute = new Date(Math.floor(instant.getTime() / 60_000) * 60_000);
  return zonedMinute(minute, timeZone).slice(0, 10);
}

/**
 * Hours since midnight that a clock in that town shows, to the minute.
 * @example clockHour(new Date('2026-07-01T12:15:00Z'), 'Europe/London') // 13.25
 */
export function clockHour(instant: Date, timeZone: string): number {
  const shown = zonedMinute(instant, timeZone);
  return Number(shown.slice(11, 13)) + Number(shown.slice(14, 16)) / 60;
}

/**
 * The instant at which a clock in that town shows this: `2026-07-01T13:00`, as a form's field for date and time gives
 * it. Where the clocks change it is read by the offset of before, as RFC 5545 has it: an hour that is skipped in spring as
 * the one after it, one that comes twice as the first of the two. Undefined for what is no date and time, or of a year
 * outside 1000 to 2999: no work was done then, and not all clocks write four digits.
 * @example instantOfClock('2026-07-01T13:00', 'Europe/London') // 2026-07-01T12:00:00Z
 */
export function instantOfClock(local: string, timeZone: string): Date | undefined {
  const shown = /^[12]\d{3}-\d\d-\d\dT\d\d:\d\d(:\d\d)?$/.test(local)
    ? Date.parse(`${local.slice(0, 16)}Z`)
    : Number.NaN;
  if (Number.isNaN(shown)) return undefined;
  const ahead = (at: number) => Date.parse(`${zonedMinute(new Date(at), timeZone).slice(0, 16)}Z`) - at;
  // No clock is a day off UTC, and none changes twice in two days.
  const [before, after] = [shown - ahead(shown - dayMs), shown - ahead(shown + dayMs)];
  const isAfter = before + ahead(before) !== shown && after + ahead(after) === shown;
  return new Date(isAfter ? after : before);
}

const dayMs = 86_400_000;

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
