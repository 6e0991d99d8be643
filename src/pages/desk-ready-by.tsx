import { areaY, dot, line, type Markish, ruleX, ruleY, text } from '@observablehq/plot';
import type { PlannedJobInput } from '../domain/planned.ts';
import type { GivenEstimate, GivenReadyBy } from '../insight/given-estimate.ts';
import { chanceBy, type ReadyChance, readyCurve } from '../insight/ready-curve.ts';
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
  const day: Day = { start: new Date(plan.startAt), readyBy, curve: readyCurve(readyBy), formats, timeZone };
  return (
    <Figure
      title="Ready by: of 10 such jobs, how many are dry as the day goes on"
      alternative={inWords(day)}
      options={pictureOf(day)}
      table={tableOf(day)}
    >
      <p>{inWords(day)} Quarters of an hour, rounded up; work without a break.</p>
    </Figure>
  );
}

interface Day {
  readonly start: Date;
  readonly readyBy: GivenReadyBy;
  readonly curve: readonly ReadyChance[];
  readonly formats: Formats;
  readonly timeZone: string;
}

function inWords({ start, readyBy, formats }: Day): string {
  const [p50, p80, p90] = [readyBy.p50, readyBy.p80, readyBy.p90].map((time) => formats.dateTime(quarterUp(time)));
  const ends = formats.time(quarterUp(readyBy.workEnds));
  return `Work from ${formats.dateTime(start)} to about ${ends}. Ready by ${p50} in 5 of 10, by ${p80} in 8 of 10, by ${p90} in 9 of 10.`;
}

function pictureOf(day: Day): ChartOptions {
  const { start, readyBy, formats, timeZone } = day;
  const span = Date.parse(readyBy.p95) - start.getTime();
  const last = new Date(start.getTime() + 1.04 * span);
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
      ...dayMarks(day, midnightsOf(hours), last),
      ...workMarks(day),
      ...readyMarks(day),
    ],
  };
}

/** Where each day begins, with its name where there is room for it. */
function dayMarks({ start, formats }: Day, midnights: readonly Date[], last: Date): Markish[] {
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

function workMarks({ start, readyBy }: Day): Markish[] {
  const ends = new Date(readyBy.workEnds);
  return [
    line([start, ends], { x: itself, y: -1.2, strokeWidth: 12, strokeLinecap: 'butt', className: 'mark-2' }),
    text([ends], { x: itself, y: -1.2, dx: 5, textAnchor: 'start', text: () => 'work' }),
  ];
}

function readyMarks({ curve, formats }: Day): Markish[] {
  const marks = curve.filter(({ chance }) => marked.includes(chance));
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
const marked = [0.5, 0.8, 0.9];

function tenths({ chance }: ReadyChance): number {
  return chance * 10;
}

/** Hour by hour, or in longer steps where it takes long. */
function tableOf({ start, curve, readyBy, formats, timeZone }: Day): FigureTable {
  const from = curve[0]?.at ?? start;
  const hours = thinnedHours(clockHours(from, new Date(Date.parse(readyBy.p95) + hourMs), timeZone), 12);
  const said = (chance: number | undefined, at: Date) => {
    if (chance !== undefined) return formats.number(chance * 100);
    return at < from ? `under ${formats.number((curve[0]?.chance ?? 0) * 100)}` : 'over 95';
  };
  return {
    columns: ['By', 'ready, of 100 such jobs'],
    rows: hours.map((at) => [formats.dateTime(at), said(chanceBy(curve, at), at)]),
  };
}
