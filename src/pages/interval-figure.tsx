import { dot, ruleX, ruleY, text } from '@observablehq/plot';
import type { Child } from 'hono/jsx';
import type { ChartOptions } from './chart.ts';
import { Figure, type FigureTable } from './figure.tsx';

/** One line of a picture: its most likely value and the range that holds nine times in ten. */
export interface Interval {
  readonly label: string;
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

export interface IntervalFigureProps {
  readonly title: string;
  readonly alternative: string;
  readonly lines: readonly Interval[];
  /** A second interval a line, drawn beneath the first in another way. */
  readonly second?: readonly Interval[];
  /** What the axis measures, with its unit. */
  readonly axis: string;
  readonly tickFormat: (value: number) => string;
  /** Values that the lines are to be held against, each with its word. */
  readonly marks?: readonly { readonly at: number; readonly label: string }[];
  readonly table: FigureTable;
  readonly children?: Child;
}

/** Ranges beside each other, with dots where the middle is: no bar that would look like certainty. */
export function IntervalFigure(props: IntervalFigureProps) {
  const { title, alternative, table, children } = props;
  return (
    <Figure title={title} alternative={alternative} options={pictureOf(props)} table={table}>
      {children}
    </Figure>
  );
}

const lineHeight = 34;
/** About what a letter takes at the size of a phone. */
const letterWidth = 7.6;

function pictureOf({ lines, second = [], axis, tickFormat, marks = [] }: IntervalFigureProps): ChartOptions {
  const names = lines.map(({ label }) => label);
  const longest = Math.max(4, ...names.map(({ length }) => length));
  const values = [...lines, ...second].flatMap(({ low, high }) => [low, high]);
  const apart = second.length > 0 ? 6 : 0;
  return {
    height: 74 + lineHeight * lines.length,
    marginLeft: Math.min(190, 14 + longest * letterWidth),
    marginTop: 26,
    marginRight: 24,
    y: { type: 'band', domain: names, label: null },
    x: {
      label: axis,
      labelAnchor: 'center',
      labelArrow: 'none',
      tickFormat,
      ticks: 5,
      nice: true,
      domain: span(values, marks),
    },
    marks: [
      ruleX(marks, { x: 'at', strokeDasharray: '5 4' }),
      text(marks, { x: 'at', text: 'label', frameAnchor: 'top', dy: -14 }),
      ruleY(lines, { y: 'label', x1: 'low', x2: 'high', dy: -apart, strokeWidth: 3, className: 'mark-1' }),
      dot(lines, { x: 'middle', y: 'label', dy: -apart, r: 5, fill: 'currentColor', className: 'mark-1' }),
      ruleY(second, {
        y: 'label',
        x1: 'low',
        x2: 'high',
        dy: apart,
        strokeWidth: 2,
        strokeDasharray: '3 3',
        className: 'mark-2',
      }),
      dot(second, { x: 'middle', y: 'label', dy: apart, r: 4.5, symbol: 'square', className: 'mark-2' }),
    ],
  };
}

function span(values: readonly number[], marks: readonly { readonly at: number }[]): [number, number] {
  const all = [...values, ...marks.map(({ at }) => at)];
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const room = (high - low || Math.abs(high) || 1) * 0.04;
  return [low - (low >= 0 && low - room < 0 ? low : room), high + room];
}
