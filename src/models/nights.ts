import type { FinishedJob } from '../domain/record.ts';
import { clockHour } from '../domain/zoned-time.ts';
import { evenly } from './evenly.ts';
import { ruleOf } from './rule-table.ts';
import type { RuleOfThumb } from './rules-of-thumb.ts';

/** How things go on drying here while nobody is there. */
export interface Nights {
  readonly timeZone: string;
  /** Log of what an hour of the night dries of what one of the day does, and how sure that is. */
  readonly logRate: number;
  readonly logRateSd: number;
  /** Hours of the clock at which work ends here, an even choice from early to late: for a plan that does not say when it begins. */
  readonly workEnds: readonly number[];
}

/** The doors are shut, the heating is down and the fans may be off: from six to eight. Common practice, no source. */
const shuts = 18;
const opens = 8;
const openHours = shuts - opens;

/** Where no record says when work ends. Common practice, no source. */
const usualEnd = 15;
const mostEnds = 16;
const dayMs = 24 * 3_600_000;

/** By the rules of thumb alone. Their figure is how much longer drying takes, as all of drying are: the inverse of a rate. */
export function nightsByRule(rules: readonly RuleOfThumb[], records: readonly FinishedJob[], timeZone: string): Nights {
  const { mean, sd } = ruleOf(rules, 'drying', 'night');
  return { timeZone, logRate: 0 - mean, logRateSd: sd, workEnds: workEnds(records, timeZone) };
}

/** Chosen by the hour of the day in UTC, as the clock of a town is costly to ask: there it is the same round, begun elsewhere. */
function workEnds(records: readonly FinishedJob[], timeZone: string): readonly number[] {
  const inDay = (instant: number) => instant % dayMs;
  const ends = records.map(({ finishedAt }) => Date.parse(finishedAt)).sort((a, b) => inDay(a) - inDay(b));
  if (ends.length === 0) return [usualEnd];
  return evenly(ends, mostEnds)
    .map((end) => clockHour(new Date(end), timeZone))
    .sort((a, b) => a - b);
}

/**
 * Hours of drying by day that do as much as these hours from an hour of the clock on. As an interval between two checks becomes one between
 * two such counts, the drying model is fitted and drawn in hours of the day, and only what people see is put back on the clock.
 * The two nights a year in which clocks change are taken as long as any: what dries past that morning is said 1 − rate hours too late in
 * spring and too early in autumn, half an hour where an hour of the night counts half.
 */
export function dayHours({ logRate }: Pick<Nights, 'logRate'>, from: number, hours: number): number {
  if (logRate === 0 || hours === Number.POSITIVE_INFINITY) return hours;
  const nightHours = nightsUntil(from + hours) - nightsUntil(from);
  return hours - (1 - Math.exp(logRate)) * nightHours;
}

/** The inverse: hours on the clock from that hour on, for so many of the day. */
export function clockHours({ logRate }: Pick<Nights, 'logRate'>, from: number, hoursOfDay: number): number {
  if (logRate === 0) return hoursOfDay;
  const rate = Math.exp(logRate);
  const wholeDay = openHours + (24 - openHours) * rate;
  const sinceMidnight = from - (1 - rate) * nightsUntil(from) + hoursOfDay;
  const days = Math.floor(sinceMidnight / wholeDay);
  const rest = sinceMidnight - days * wholeDay;
  return 24 * days + clockAt(rest, rate) - from;
}

/** Hours of night since a midnight. */
function nightsUntil(hour: number): number {
  const days = Math.floor(hour / 24);
  const clock = hour - 24 * days;
  return (24 - openHours) * days + Math.min(clock, opens) + Math.max(0, clock - shuts);
}

/** The hour of the clock at which a day has dried this much. */
function clockAt(hoursOfDay: number, rate: number): number {
  const byOpening = opens * rate;
  if (hoursOfDay <= byOpening) return hoursOfDay / rate;
  const atShutting = byOpening + openHours;
  return hoursOfDay <= atShutting ? opens + hoursOfDay - byOpening : shuts + (hoursOfDay - atShutting) / rate;
}

/** What is believed of the log rate. */
export type LogRate = Pick<Nights, 'logRate' | 'logRateSd'>;

/** Log rates are tried at this distance, down from that of the day: at night nothing dries quicker, but where the rule says so. */
const step = 0.4;
/** At least down to here below the rule's: a fifth of it. */
const deepest = 4 * step;

/**
 * The likeliest night: the top of the parabola through the log posterior at three rates a step apart, the middle one the highest that was
 * tried. What is left of doubt about it moves the forecasts little and is not drawn.
 *
 * @param logMarginal of the drying model at a log rate; undefined where it cannot be fitted there
 * **Returns** the rule where that says nothing.
 * **Checked** tests/models/nights.test.ts
 */
export function likeliestNight(rule: LogRate, logMarginal: (logRate: number) => number | undefined): LogRate {
  const highest = Math.max(0, rule.logRate);
  const mostSteps = Math.ceil((highest - rule.logRate + deepest) / step);
  const logPosterior = (steps: number): number => {
    const logRate = highest - steps * step;
    return (logMarginal(logRate) ?? Number.NaN) - 0.5 * ((logRate - rule.logRate) / rule.logRateSd) ** 2;
  };
  const tried = [0, 1, 2].map(logPosterior);
  while (tried.length <= mostSteps && tried[tried.length - 1] > tried[tried.length - 2])
    tried.push(logPosterior(tried.length));
  const middle = tried.length - 2;
  const [above, here, below] = tried.slice(middle - 1);
  const curvature = 2 * here - above - below;
  if (!(curvature > 0)) return rule;
  const moved = (below - above) / (2 * curvature);
  return {
    logRate: highest - step * Math.min(mostSteps, Math.max(0, middle + moved)),
    logRateSd: Math.min(rule.logRateSd, step / Math.sqrt(curvature)),
  };
}
