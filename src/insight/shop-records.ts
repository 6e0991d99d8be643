import type { Machine, Technician } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import { zonedDay } from '../domain/zoned-time.ts';

/** What reports are made from beside the fit: a shop's finished jobs and its lists. */
export interface ShopRecords {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  /** IANA name of the shop's zone, by whose days people and machines come and go; UTC where absent. */
  readonly timeZone?: string | undefined;
}

/** The shop's day. */
export function dayOf({ timeZone = 'UTC' }: ShopRecords, now: Date): string {
  return zonedDay(now, timeZone);
}
