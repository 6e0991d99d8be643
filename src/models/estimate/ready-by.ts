import { zonedMinute } from '../../domain/zoned-time.ts';
import { weightedDraws } from './draw-arrays.ts';
import { quantileOf, quantilesOf } from './figure.ts';
import type { PlannedWork } from './planned-work.ts';
import type { JobDraws } from './simulate-job.ts';

/** Local times, RFC 3339 to the minute: p90 is met by nine such jobs of ten. Joint: not the sum of the two figures' quantiles. */
export interface ReadyBy {
  readonly workEnds: string;
  readonly p05: string;
  readonly p10: string;
  readonly p25: string;
  readonly p50: string;
  readonly p75: string;
  readonly p80: string;
  readonly p90: string;
  readonly p95: string;
}

/** Work without a break from the start, shared by the crew, then drying of the slowest section. */
export function readyBy({ labourHours, dryHours }: JobDraws, { startAt, job }: PlannedWork, timeZone: string): ReadyBy {
  const after = (hours: number) => zonedMinute(new Date(startAt.getTime() + hours * 3_600_000), timeZone);
  const worked = weightedDraws([labourHours], [1 / job.crew]);
  const ready = quantilesOf(weightedDraws([worked, dryHours], [1, 1]));
  return {
    workEnds: after(quantileOf(worked, 0.5)),
    p05: after(ready.p05),
    p10: after(ready.p10),
    p25: after(ready.p25),
    p50: after(ready.p50),
    p75: after(ready.p75),
    p80: after(ready.p80),
    p90: after(ready.p90),
    p95: after(ready.p95),
  };
}
