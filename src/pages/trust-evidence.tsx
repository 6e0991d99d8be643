import { areaY, dot, line, ruleY, text } from '@observablehq/plot';
import type { ModelName } from '../domain/doubts.ts';
import { type EvidencePoint, evidenceSentence, halfOwnSince } from '../insight/evidence-history.ts';
import type { ChartOptions } from './chart.ts';
import { timeAxis } from './chart-time.ts';
import { Figure, NumbersTable } from './figure.tsx';
import type { Formats } from './format.ts';
import { figureNames } from './trust-words.ts';

interface EvidenceProps {
  readonly points: readonly EvidencePoint[];
  readonly formats: Formats;
}

/** The evidence growing: how much of each figure is the shop's own, as time goes on. */
export function EvidencePage({ points, formats }: EvidenceProps) {
  return (
    <>
      <p class="answer">{evidenceSentence(points)}</p>
      {points.length > 0 && <Grown points={points} formats={formats} />}
      <details>
        <summary>What this share means</summary>
        <p>
          The rule of thumb leaves a figure open within some spread. The share is how much of that spread (its variance)
          the shop’s own records have taken away: 0% is rule of thumb alone, near 100% the rule hardly matters. The
          usual job is a sedan’s front and rear cloth seats, moderate soil, taken out, extracted, dried with a fan, by
          whoever is free. It says how sure the usual figure is, and nothing of how much single jobs differ. Once a
          lasting change is found its level is learnt anew from the jobs since, and the share falls back for a while.
        </p>
        <p>
          Past months are as the program finds them at each month’s start when it checks its forecasts, by what is
          recorded now; nights are as they were.
        </p>
      </details>
    </>
  );
}

const models = Object.entries(figureNames) as readonly (readonly [ModelName, string])[];

function Grown({ points, formats }: EvidenceProps) {
  const csv = '/findings/evidence.csv';
  return (
    <>
      {points.length > 1 && (
        <Figure
          title="How much of each figure is the shop’s own, as time goes on"
          alternative={inWords(points, formats)}
          options={pictureOf(points, formats)}
          table={{
            columns: ['At', 'Finished jobs', ...models.map(([, name]) => name)],
            rows: points.map(({ at, jobs, shares }) => [
              formats.date(at),
              formats.number(jobs),
              ...models.map(([model]) => formats.share(shares[model])),
            ]),
            csv,
          }}
        >
          <p>
            <b class="mark-1">Filled</b>: the shop’s own. Above it: rule of thumb. The dashed line is half.
            {points.some(({ jobs }) => jobs === 0) &&
              ' A dotted line leads from the first job, when all was rule of thumb, to the first look.'}
          </p>
        </Figure>
      )}
      <NumbersTable
        caption="Where it stands"
        table={{
          columns: ['Figure', 'Own by now', 'More than half since', 'Finished jobs then'],
          rows: models.map(([model, name]) => {
            const since = halfOwnSince(points, model);
            return [
              name,
              formats.share(points.at(-1)?.shares[model] ?? 0),
              since === undefined ? 'not yet' : sinceWords(since, points, formats),
              since === undefined ? '–' : formats.number(since.jobs),
            ];
          }),
          csv,
        }}
      />
    </>
  );
}

/** What is so at the first look may have been so before. */
function sinceWords(since: EvidencePoint, points: readonly EvidencePoint[], formats: Formats): string {
  const isFirstLook = since === points.find(({ jobs }) => jobs > 0);
  return isFirstLook ? `${formats.date(since.at)} or before` : formats.date(since.at);
}

interface Share {
  readonly at: Date;
  readonly figure: string;
  readonly percent: number;
}

function pictureOf(points: readonly EvidencePoint[], formats: Formats): ChartOptions {
  const names = models.map(([, name]) => name);
  const looks = points.filter(({ jobs }) => jobs > 0);
  const shares = sharesOf(points);
  const seen = sharesOf(looks);
  // From the first job, when nothing was known, to the first look: how it grew between is not known.
  const unseen = sharesOf(looks.length < points.length ? points.slice(0, 2) : []);
  const of = { x: 'at', y: 'percent', fy: 'figure', className: 'mark-1' } as const;
  return {
    height: 56 + 95 * names.length,
    marginLeft: 46,
    marginRight: 20,
    marginTop: 30,
    x: timeAxis(
      points.map(({ at }) => at),
      formats,
    ),
    y: { domain: [0, 100], ticks: [0, 50, 100], tickFormat: (percent: number) => `${percent} %`, label: null },
    fy: { domain: names, axis: null, label: null, padding: 0.45 },
    marks: [
      ruleY([0], { strokeOpacity: 0.3 }),
      areaY(seen, { ...of, fillOpacity: 0.25 }),
      line(seen, { ...of, strokeWidth: 2 }),
      line(unseen, { ...of, strokeWidth: 2, strokeDasharray: '2 4' }),
      dot(shares, { ...of, r: points.length > 30 ? 1.5 : 3, fill: 'currentColor' }),
      ruleY([50], { strokeDasharray: '5 4' }),
      text(names, {
        fy: (figure: string) => figure,
        text: (figure: string) => figure,
        frameAnchor: 'top-left',
        dx: 4,
        dy: -16,
        fontWeight: 600,
      }),
    ],
  };
}

function sharesOf(points: readonly EvidencePoint[]): Share[] {
  return points.flatMap(({ at, shares }) =>
    models.map(([model, figure]) => ({ at, figure, percent: 100 * shares[model] })),
  );
}

function inWords(points: readonly EvidencePoint[], formats: Formats): string {
  const [first, last] = [points[0], points.at(-1)];
  if (!first || !last) return '';
  const said = models.map(
    ([model, name]) =>
      `${name.toLowerCase()} from ${formats.share(first.shares[model])} to ${formats.share(last.shares[model])}`,
  );
  return `From ${formats.date(first.at)} to ${formats.date(last.at)}: ${said.join(', ')}.`;
}
