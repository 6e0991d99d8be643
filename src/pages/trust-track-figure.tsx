import { axisX, dot, ruleX, ruleY, text, tickY } from '@observablehq/plot';
import type { MonthRecord, ScoreLine } from '../insight/track-record.ts';
import type { ChartOptions } from './chart.ts';
import { Figure, type FigureTable } from './figure.tsx';
import { shareText } from './findings-words.ts';
import type { Formats } from './format.ts';
import { biasText, figureNames, monthName, monthTick, percentRange, scoreText } from './trust-words.ts';

interface TrackFigureProps {
  readonly months: readonly MonthRecord[];
  readonly formats: Formats;
}

/** How far off each month's forecasts were, the rule of thumb's misses being 100 %: own numbers with their range, and the two other ways. */
export function TrackFigure({ months, formats }: TrackFigureProps) {
  const points = months.flatMap(pointsOf);
  return (
    <Figure
      title="How far off we were, month by month, in per cent of how far off the rule of thumb was"
      alternative={inWords(points)}
      options={pictureOf(months, points)}
      table={tableOf(months, formats)}
    >
      <p>
        <b class="mark-1">Dot and line</b>: our own numbers with the range that holds nine times in ten; below the 100 %
        line they were closer than the rule of thumb. <b class="mark-2">Short bar</b>: our means by soil.{' '}
        <b class="mark-3">Hollow square</b>: least squares. Where a month has few jobs the lines are long: such a month
        says little. What lies beyond {most} % is drawn at the edge.
      </p>
    </Figure>
  );
}

/** Beyond this a month's misses are drawn at the edge. */
const most = 200;

interface Point {
  readonly month: string;
  readonly figure: string;
  /** Per cent of the rule of thumb's score. */
  readonly own: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly soilMeans: number | null;
  readonly leastSquares: number | null;
}

function pointsOf({ month, models }: MonthRecord): Point[] {
  return models.flatMap((line) => {
    const own = ownPercent(line);
    if (own === null) return [];
    return {
      month,
      figure: figureNames[line.model],
      own: edge(own),
      low: line.gainPercent && edge(100 - line.gainPercent.p95),
      high: line.gainPercent && edge(100 - line.gainPercent.p05),
      soilMeans: against(own, line.gainOverSoilMeans),
      leastSquares: against(own, line.gainOverLeastSquares),
    };
  });
}

function ownPercent({ meanScore, ruleOfThumb }: ScoreLine): number | null {
  return meanScore === null || ruleOfThumb === null || ruleOfThumb <= 0 ? null : (100 * meanScore) / ruleOfThumb;
}

/** The other way's score on the same scale, from how much less our own was on the outcomes that both forecast. */
function against(own: number, gainPercent: number | null): number | null {
  return gainPercent === null || gainPercent >= 100 ? null : edge(own / (1 - gainPercent / 100));
}

function edge(percent: number): number {
  return Math.min(most, Math.max(0, percent));
}

function pictureOf(months: readonly MonthRecord[], points: readonly Point[]): ChartOptions {
  const names = months.map(({ month }) => month);
  const figures = [...new Set(points.map(({ figure }) => figure))];
  const withRange = points.filter(({ low }) => low !== null);
  return {
    height: 56 + 115 * figures.length,
    marginLeft: 46,
    marginRight: 14,
    marginTop: 24,
    x: { type: 'band', domain: names, label: null, padding: 0.2 },
    fy: { domain: figures, label: null, axis: null, padding: 0.3 },
    y: {
      domain: [0, most],
      ticks: [0, 100],
      tickFormat: (percent: number) => `${percent} %`,
      label: null,
      nice: false,
    },
    marks: [
      axisX({
        anchor: 'bottom',
        tickFormat: (month: string, i: number) => (i % 3 === 0 ? monthTick(month, i === 0) : ''),
        label: null,
      }),
      ruleY([0], { strokeOpacity: 0.3 }),
      ruleY([100], { strokeDasharray: '5 4' }),
      text(figures, {
        fy: (figure: string) => figure,
        text: (figure: string) => figure,
        frameAnchor: 'top-left',
        dx: 4,
        dy: -16,
        fontWeight: 600,
      }),
      ruleX(withRange, { x: 'month', fy: 'figure', y1: 'low', y2: 'high', strokeWidth: 2, className: 'mark-1' }),
      tickY(points, {
        x: 'month',
        fy: 'figure',
        y: 'soilMeans',
        strokeWidth: 3,
        insetLeft: 3,
        insetRight: 3,
        className: 'mark-2',
      }),
      dot(points, { x: 'month', fy: 'figure', y: 'leastSquares', symbol: 'square', r: 4, dx: 7, className: 'mark-3' }),
      dot(points, { x: 'month', fy: 'figure', y: 'own', r: 4.5, fill: 'currentColor', className: 'mark-1' }),
    ],
  };
}

function inWords(points: readonly Point[]): string {
  const figures = [...new Set(points.map(({ figure }) => figure))];
  const said = figures.map((figure) => {
    const of = points.filter((point) => point.figure === figure);
    const closer = of.filter(({ own }) => own < 100).length;
    return `${figure.toLowerCase()} in ${closer} of ${of.length} months`;
  });
  return `Our own numbers were closer than the rule of thumb for ${said.join(', ')}.`;
}

function tableOf(months: readonly MonthRecord[], formats: Formats): FigureTable {
  return {
    columns: [
      'Month',
      'Figure',
      'Jobs known at its start',
      'Forecast and seen',
      'Off by, less is better: own numbers',
      'Off by: rule of thumb',
      'Off by: means by soil',
      'Off by: least squares',
      'Less off than the rule of thumb',
      'Inside the 80 % range',
      'On average it came',
    ],
    rows: months.flatMap(({ month, jobsKnown, failed, models }) =>
      failed === null
        ? models.map((line) => [
            monthName(month),
            figureNames[line.model],
            formats.number(jobsKnown),
            formats.number(line.outcomes),
            ...[line.meanScore, line.ruleOfThumb, line.soilMeans, line.leastSquares].map((score) =>
              scoreText(line.model, score, formats),
            ),
            percentRange(line.gainPercent, formats),
            line.inside80 === null ? '–' : shareText(line.inside80, formats),
            biasText(line.model, line.bias, formats),
          ])
        : [
            [
              monthName(month),
              `no forecast could be made: ${failed}`,
              formats.number(jobsKnown),
              ...Array<string>(8).fill('–'),
            ],
          ],
    ),
    csv: '/findings/track-record.csv',
  };
}
