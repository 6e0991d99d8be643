import { axisX, axisY, dot, ruleX, ruleY } from '@observablehq/plot';
import type { RuleMeasure } from '../insight/rules/rule-figures.ts';
import type { RuleLine } from '../insight/rules/rule-lines.ts';
import type { ChartOptions } from './chart.ts';
import { Figure, type FigureTable } from './figure.tsx';
import type { Formats } from './format.ts';
import { ruleFigure, ruleText } from './trust-rule-words.ts';

interface RulesFigureProps {
  readonly title: string;
  /** Of one model. */
  readonly lines: readonly RuleLine[];
  readonly csv: string;
  readonly formats: Formats;
}

/** Rules of thumb and what the records made of them, one above the other, as intervals. */
export function RulesFigure({ title, lines, csv, formats }: RulesFigureProps) {
  // The wide rule on levels before a change would press all others together where no change was found; figures in units, and a chance among
  // factors, have no place on their scale.
  const drawn = lines.filter(
    ({ id, model, measure, data }) =>
      (measure === 'factor' || measure === 'apart' || model === 'giving-up') && (data || !id.endsWith('.before')),
  );
  return (
    <Figure
      title={title}
      alternative={inWords(drawn, formats)}
      options={pictureOf(drawn, formats)}
      table={tableOf(lines, csv, formats)}
    >
      <p>
        <b class="mark-2">Thin line, hollow dot</b>: the rule of thumb. <b class="mark-1">Thick line, full dot</b>: what
        our own records have made of it. Each line holds nine times in ten.
        {drawn.some(({ measure }) => measure === 'factor') && ' × 1 is no difference from the ordinary case.'}
      </p>
    </Figure>
  );
}

function pictureOf(lines: readonly RuleLine[], formats: Formats): ChartOptions {
  const isChance = lines.some(({ measure }) => measure === 'chance');
  const measure: RuleMeasure = isChance ? 'chance' : 'factor';
  const seen = lines.filter(({ data }) => data !== undefined);
  const ends = lines.flatMap(({ rule, data }) => [rule.p05, rule.p95, data?.p05 ?? rule.p05, data?.p95 ?? rule.p95]);
  const domain = [Math.min(isChance ? 0 : 1, ...ends), Math.max(isChance ? 0 : 1, ...ends)] as const;
  return {
    height: 56 + 26 * lines.length,
    marginLeft: 205,
    marginRight: 18,
    marginTop: 8,
    x: { type: isChance ? 'linear' : 'log', domain, label: null },
    y: { type: 'point', domain: lines.map(({ name }) => name), label: null, padding: 0.6 },
    marks: [
      axisX({
        ticks: isChance ? 5 : factorTicks(domain),
        tickFormat: (value: number) => tickText(value, measure, formats),
        label: null,
      }),
      axisY({ tickSize: 0, label: null }),
      ruleX([isChance ? 0 : 1], { strokeDasharray: '5 4', strokeOpacity: 0.7 }),
      ruleY(lines, { y: 'name', x1: ruleAt('p05'), x2: ruleAt('p95'), dy: -5, className: 'mark-2' }),
      dot(lines, { y: 'name', x: ruleAt('p50'), dy: -5, r: 3.5, className: 'mark-2' }),
      ruleY(seen, { y: 'name', x1: dataAt('p05'), x2: dataAt('p95'), dy: 5, strokeWidth: 3, className: 'mark-1' }),
      dot(seen, { y: 'name', x: dataAt('p50'), dy: 5, r: 4, fill: 'currentColor', className: 'mark-1' }),
    ],
  };
}

/** Few enough not to touch each other, on a logarithmic scale. */
function factorTicks([low, high]: readonly [number, number]): readonly number[] {
  const ticks =
    high / low < 2.5
      ? [0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.2, 1.3, 1.5, 1.7]
      : [0.1, 0.2, 0.3, 0.5, 0.7, 1, 1.5, 2, 3, 5, 10];
  return ticks.filter((tick) => tick >= low && tick <= high);
}

type End = 'p05' | 'p50' | 'p95';
const ruleAt = (end: End) => (line: RuleLine) => line.rule[end];
const dataAt = (end: End) => (line: RuleLine) => line.data?.[end];

function tickText(value: number, measure: RuleMeasure, formats: Formats): string {
  return measure === 'chance' ? formats.share(value) : `× ${value}`;
}

function inWords(lines: readonly RuleLine[], formats: Formats): string {
  const said = lines.map(({ name, rule, data, measure }) => {
    const learnt = data === undefined ? 'nothing learnt yet' : `now ${ruleFigure(data.p50, measure, formats)}`;
    return `${name}: rule of thumb ${ruleFigure(rule.p50, measure, formats)}, ${learnt}`;
  });
  return `${said.join('; ')}.`;
}

function tableOf(lines: readonly RuleLine[], csv: string, formats: Formats): FigureTable {
  return {
    columns: ['What', 'Rule of thumb', 'Learnt from our records', 'How much of it is our own'],
    rows: lines.map(({ name, rule, data, ownShare, measure }) => [
      name,
      ruleText(rule, measure, formats),
      data === undefined ? 'nothing yet' : ruleText(data, measure, formats),
      ownShare === undefined ? '–' : formats.share(ownShare),
    ]),
    csv,
  };
}
