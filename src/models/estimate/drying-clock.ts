import { clockHour } from '../../domain/zoned-time.ts';
import { normalProbability } from '../../inference/normal.ts';
import { clockHours, type Nights } from '../nights.ts';
import { normalDraws } from './noise.ts';
import type { PlannedWork } from './planned-work.ts';

/** Hours of drying on the clock, one a draw, from those of the day: it begins when the work ends. */
export function onTheClock(
  nights: Nights,
  work: PlannedWork,
  labourHours: Float64Array,
  hoursOfDay: Float64Array,
): Float64Array {
  if (nights.logRate === 0) return hoursOfDay;
  const from = workEnds(nights, work, labourHours);
  return hoursOfDay.map((hours, d) => clockHours(nights, from(d), hours));
}

/** What the nights do to a drying time of so many hours of the day, as a factor's logarithm. */
export function nightsFactor(nights: Nights, work: PlannedWork, labourHours: number, hoursOfDay: number): number {
  const ends =
    work.job.startAt === undefined ? nights.workEnds : [startHour(nights, work) + labourHours / work.job.crew];
  const logs = ends.map((from) => Math.log(clockHours(nights, from, hoursOfDay) / hoursOfDay));
  return logs.reduce((sum, log) => sum + log, 0) / logs.length;
}

/** The hour of the clock at which each draw's work ends; where the plan does not say when it begins, one at which work ends here. */
function workEnds(nights: Nights, work: PlannedWork, labourHours: Float64Array): (draw: number) => number {
  const { job } = work;
  if (job.startAt !== undefined) {
    const start = startHour(nights, work);
    return (d) => start + labourHours[d] / job.crew;
  }
  const which = openEnds(nights, labourHours.length);
  return (d) => nights.workEnds[which[d]];
}

/** Which of the hours at which work ends here each draw has, as its place among them, where the plan does not say when it begins. */
export function openEnds({ workEnds: { length } }: Nights, nDraws: number): Uint16Array {
  const which = new Uint16Array(nDraws);
  const normals = normalDraws('workEnds', nDraws);
  for (let d = 0; d < nDraws; d++) which[d] = Math.min(length - 1, Math.floor(normalProbability(normals[d]) * length));
  return which;
}

function startHour({ timeZone }: Nights, { startAt }: PlannedWork): number {
  return clockHour(startAt, timeZone);
}
