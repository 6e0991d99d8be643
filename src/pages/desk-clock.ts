import { zonedMinute } from '../domain/zoned-time.ts';

/** A moment at which a clock in the shop's town shows a whole hour. */
export interface ClockHour {
  readonly at: Date;
  readonly hour: number;
}

/** The whole hours of a town's clock from one moment to another. */
export function clockHours(from: Date, to: Date, timeZone: string): ClockHour[] {
  const hours: ClockHour[] = [];
  // Every zone's clock differs from UTC by whole quarters of an hour; from one whole hour the next is mostly an hour on.
  for (let at = Math.ceil(from.getTime() / quarterMs) * quarterMs; at <= to.getTime(); ) {
    const clock = zonedMinute(new Date(at), timeZone).slice(11, 16);
    const whole = clock.endsWith(':00');
    if (whole) hours.push({ at: new Date(at), hour: Number(clock.slice(0, 2)) });
    at += whole ? hourMs : quarterMs;
  }
  return hours;
}

/** Those of them that leave no more than `most`: each, or every second, third, sixth, twelfth, or midnights alone. */
export function thinnedHours(hours: readonly ClockHour[], most: number): Date[] {
  const step = steps.find((each) => hours.filter(({ hour }) => hour % each === 0).length <= most) ?? 24;
  return hours.filter(({ hour }) => hour % step === 0).map(({ at }) => at);
}

const steps = [1, 2, 3, 6, 12];
const quarterMs = 900_000;
const hourMs = 3_600_000;
