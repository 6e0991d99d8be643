import { areaY, dot, line, type Markish, ruleX, ruleY, text } from '@observablehq/plot';
import type { PlannedJobInput } from '../domain/planned.ts';
import type { GivenEstimate, GivenReadyBy } from '../insight/given-estimate.ts';
import { chanceBy, curveUntil, type ReadyChance, readyCurve } from '../insight/ready-curve.ts';
import type { ChartOptions } from './chart.ts';
import { type ClockHour, clockHours, thinnedHours } from './desk-clock.ts';
import { quarterUp } from './desk-words.ts';
import { Figure, type FigureTable } from './figure.tsx';
import type { Formats } from './format.ts';

interface ReadyByProps {
  readonly estimate: GivenEstimate;
  readonly plan: PlannedJobInput;
  readonly formats: Formats;
  readonly timeZone: string;
}

/** The working day (and the next, where it runs on): the work, and the chance to be ready as the hours pass. */
export function ReadyByFigure({ estimate, plan, formats, timeZone }: ReadyByProps) {
  const { readyBy } = estimate;
  if (readyBy === null || plan.startAt === undefined) return null;
  const day = dayOf(new Date(plan.startAt), readyBy, formats, timeZone);
  return (
    <Figure
      title="Ready by: of 10 such jobs, how many are dry as the day goes on"
      alternative={inWords(day)}
      options={pictureOf(day)}
      table={tableOf(day)}
    >
      <p>
        {inWords(day)} Quarters of an hour, rounded up; work without a break.
        {day.cut && ' The picture ends after four days.'}
      </p>
    </Figure>
  );
}

interface Day {
  readonly start: Date;
  readonly readyBy: GivenReadyBy;
  readonly curve: readonly ReadyChance[];
  /** Where picture and table end. */
  readonly last: Date;
  /** Whether that is before nearly all such jobs are dry. */
  readonly cut: boolean;
  readonly formats: Formats;
  readonly timeZone: string;
}

function dayOf(start: Date, readyBy: GivenReadyBy, formats: Formats, timeZone: string): Day {
  const whole = start.getTime() + 1.04 * (Date.parse(readyBy.p95) - start.getTime());
  const longest = start.getTime() + longestMs;
  const last = new Date(Math.min(whole, longest));
  return { start, readyBy, curve: readyCurve(readyBy), last, cut: whole > longest, formats, timeZone };
}

function inWords({ start, readyBy, formats }: Day): string {
  const [p50, p80, p90] = [readyBy.p50, readyBy.p80, readyBy.p90].map((time) => formats.dateTime(quarterUp(time)));
  const ends = formats.time(quarterUp(readyBy.workEnds));
  return `Work from ${formats.dateTime(start)} to about ${ends}. Ready by ${p50} in 5 of 10, by ${p80} in 8 of 10, by ${p90} in 9 of 10.`;
}

function pictureOf(day: Day): ChartOptions {
  const { start, last, formats, timeZone } = day;
  const hours = clockHours(start, last, timeZone);
  return {
    height: 250,
    marginTop: 26,
    marginLeft: 34,
    marginRight: 12,
    x: {
      type: 'utc',
      domain: [start, last],
      ticks: thinnedHours(hours, 7),
      tickFormat: (at: Date) => formats.time(at),
      label: null,
    },
    y: { domain: [-2.4, 10.4], ticks: [0, 5, 8, 10], tickSize: 0, label: null },
    marks: [
      ruleY([0], { strokeOpacity: 0.5 }),
      ruleY([5, 8, 10], { strokeOpacity: 0.15 }),
      ...dayMarks(day, midnightsOf(hours)),
      ...workMarks(day),
      ...readyMarks(day),
    ],
  };
}

/** Where each day begins, with its name where there is room for it. */
function dayMarks({ start, last, formats }: Day, midnights: readonly Date[]): Markish[] {
  const least = (last.getTime() - start.getTime()) / 6;
  const days = [start, ...midnights];
  const named = days.filter((at, i) => (days[i + 1] ?? last).getTime() - at.getTime() > least);
  return [
    ruleX(midnights, { strokeDasharray: '2 4' }),
    text(named, {
      x: itself,
      frameAnchor: 'top',
      dy: -18,
      dx: 3,
      textAnchor: 'start',
      fontWeight: 600,
      text: (at: Date) => formats.dayShort(at),
    }),
  ];
}

function workMarks({ start, readyBy, last }: Day): Markish[] {
  const ends = new Date(Math.min(Date.parse(readyBy.workEnds), last.getTime()));
  return [
    line([start, ends], { x: itself, y: -1.2, strokeWidth: 12, strokeLinecap: 'butt', className: 'mark-2' }),
    text([ends], { x: itself, y: -1.2, dx: 5, textAnchor: 'start', text: () => 'work' }),
  ];
}

function readyMarks({ curve: whole, last, formats }: Day): Markish[] {
  const curve = curveUntil(whole, last);
  const marks = curve.filter(({ at, chance }) => marked.includes(chance) && at < last);
  return [
    areaY(curve, { x: 'at', y1: 0, y2: tenths, fillOpacity: 0.25, className: 'mark-1' }),
    line(curve, { x: 'at', y: tenths, strokeWidth: 2.5, className: 'mark-1' }),
    ruleX(marks, { x: 'at', y1: 0, y2: tenths, strokeDasharray: '3 3', className: 'mark-1' }),
    dot(marks, { x: 'at', y: tenths, r: 4.5, fill: 'currentColor', className: 'mark-1' }),
    text(marks, {
      x: 'at',
      y: tenths,
      dx: -7,
      dy: -8,
      className: 'halo',
      textAnchor: 'end',
      fontWeight: 600,
      text: ({ at, chance }: ReadyChance) => `${chance * 10} in 10: ${formats.time(quarterUp(at.toISOString()))}`,
    }),
  ];
}

function midnightsOf(hours: readonly ClockHour[]): Date[] {
  return hours.filter(({ hour }) => hour === 0).map(({ at }) => at);
}

function itself(at: Date): Date {
  return at;
}

const hourMs = 3_600_000;
const longestMs = 96 * hourMs;
const marked = [0.5, 0.8, 0.9];

function tenths({ chance }: ReadyChance): number {
  return chance * 10;
}

/** Hour by hour, or in longer steps where it takes long; from before the first are dry to after nearly all are. */
function tableOf({ start, curve, last, formats, timeZone }: Day): FigureTable {
  const first = curve[0] ?? { at: start, chance: 0 };
  const from = new Date(Math.max(start.getTime(), Math.min(first.at.getTime(), last.getTime()) - hourMs));
  const hours = thinnedHours(clockHours(from, new Date(last.getTime() + hourMs), timeZone), 12);
  const said = (at: Date) => {
    const chance = chanceBy(curve, at);
    if (chance !== undefined) return formats.number(chance * 100);
    return at < first.at ? `under ${formats.number(first.chance * 100)}` : 'over 95';
  };
  return { columns: ['By', 'ready, of 100 such jobs'], rows: hours.map((at) => [formats.dateTime(at), said(at)]) };
}
