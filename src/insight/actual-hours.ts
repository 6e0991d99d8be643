import type { FinishedJob } from '../domain/record.ts';

/** Person-hours that a job took. */
export function actualHours({ labour }: FinishedJob): number {
  return labour.reduce((sum, { minutes }) => sum + minutes, 0) / 60;
}

/** Work is written to the minute, a quote told to the hundredth of an hour: 230 minutes are not over 3.83 hours. */
export function ranOver(hours: number, quotedHours: number): boolean {
  return Math.round(60 * hours) > Math.round(60 * quotedHours);
}
