import { axisX, dot, ruleX, ruleY, text } from '@observablehq/plot';
import type { Range } from '../insight/range.ts';
import type { ChartOptions } from './chart.ts';

/** One line of a picture of ranges: a name and up to two ranges, one above the other. */
interface RangeRow {
  readonly name: string;
  readonly full?: Range | undefined;
  readonly thin?: Range | undefined;
}

interface RangeGroup {
  /** What its rows are kinds of, where there are several groups. */
  readonly title?: string | undefined;
  readonly rows: readonly RangeRow[];
}

interface RangePicture {
  readonly groups: readonly RangeGroup[];
  /** Values to hold the ranges against, each drawn as a broken line; always in the picture. */
  readonly lines: readonly { readonly at: number; readonly says: string }[];
  readonly tick: (value: number) => string;
  /** Where the scale begins at the latest: 0 for shares. */
  readonly from?: number;
  /** For factors: half and double lie equally far from 1. */
  readonly isLog?: boolean;
  /** Room for the longest name. */
  readonly marginLeft: number;
}

/** Ranges one below the other against one or two values: a thick line with a full dot, a thin one with a hollow dot. */
export function rangePicture({ groups, lines, tick, from, isLog = false, marginLeft }: RangePicture): ChartOptions {
  const { places, titles, count } = placed(groups);
  const ends = [
    ...(from === undefined ? [] : [from]),
    ...lines.map(({ at }) => at),
    ...places.flatMap(({ full, thin }) => endsOf(full, thin)),
  ];
  const domain = [Math.min(...ends), Math.max(...ends)];
  const hasTwo = (row: RangeRow) => row.full !== undefined && row.thin !== undefined;
  const [full, thin] = [places.filter((row) => row.full), places.filter((row) => row.thin)];
  const split = full.some(hasTwo) ? 5 : 0;
  const at = (which: 'full' | 'thin', end: keyof Range) => (row: RangeRow) => row[which]?.[end];
  return {
    width: 420,
    height: 62 + rowHeight * count,
    marginLeft,
    marginRight: 20,
    marginTop: 26,
    marginBottom: 36,
    x: { type: isLog ? 'log' : 'linear', domain, label: null },
    y: { type: 'linear', domain: [count - 0.5, -0.5], axis: null },
    marks: [
      axisX({ ticks: isLog ? ticksWithin(domain) : 4, tickFormat: tick, label: null }),
      ruleX(lines, { x: 'at', strokeDasharray: '5 4', strokeOpacity: 0.8 }),
      text(lines, { x: 'at', text: 'says', frameAnchor: 'top', dy: -16, lineAnchor: 'middle' }),
      text(titles, { y: 'place', text: 'title', ...inMargin(marginLeft), fontWeight: 650 }),
      text(places, { y: 'place', text: 'name', ...inMargin(marginLeft) }),
      ruleY(thin, {
        y: 'place',
        x1: at('thin', 'p05'),
        x2: at('thin', 'p95'),
        dy: split,
        strokeWidth: 1.5,
        className: 'mark-2',
      }),
      dot(thin, { y: 'place', x: at('thin', 'p50'), dy: split, r: 3.5, className: 'mark-2' }),
      ruleY(full, {
        y: 'place',
        x1: at('full', 'p05'),
        x2: at('full', 'p95'),
        dy: -split,
        strokeWidth: 3,
        className: 'mark-1',
      }),
      dot(full, { y: 'place', x: at('full', 'p50'), dy: -split, r: 4, fill: 'currentColor', className: 'mark-1' }),
    ],
  };
}

const rowHeight = 27;

function placed(groups: readonly RangeGroup[]) {
  let count = 0;
  const titles: { place: number; title: string }[] = [];
  const places: (RangeRow & { place: number })[] = [];
  for (const { title, rows } of groups) {
    if (title !== undefined) titles.push({ place: count++, title });
    for (const row of rows) places.push({ ...row, place: count++ });
  }
  return { places, titles, count };
}

function endsOf(...ranges: readonly (Range | undefined)[]): number[] {
  return ranges.flatMap((range) => (range === undefined ? [] : [range.p05, range.p95]));
}

/** Text at the left edge of the picture, before the ranges. */
function inMargin(marginLeft: number) {
  return { frameAnchor: 'left', textAnchor: 'start', dx: -marginLeft } as const;
}

/** Few enough not to touch each other, on a logarithmic scale. */
function ticksWithin([low = 1, high = 1]: readonly number[]): readonly number[] {
  const ticks = high / low < 3 ? [0.5, 0.6, 0.8, 1, 1.25, 1.5, 2, 2.5] : [0.1, 0.2, 0.5, 1, 2, 5, 10];
  return ticks.filter((tick) => tick >= low && tick <= high);
}
