import { dot, line, ruleY } from '@observablehq/plot';
import { timeAxis } from './chart-time.ts';
import { Figure } from './figure.tsx';
import type { Formats } from './format.ts';
import { type FitLine, statusWords } from './trust-fits.tsx';

/** The fits in time and the jobs each was learnt from; full where it was published, hollow where not. */
export function FitsFigure({ fits, formats }: { fits: readonly FitLine[]; formats: Formats }) {
  const used = fits.filter(({ status }) => status === 'published' || status === 'superseded');
  const other = fits.filter((fit) => !used.includes(fit));
  return (
    <Figure
      title="Finished jobs that each fit was learnt from"
      alternative={`${fits.length} fits, of ${used.length} estimates were made; ${other.length} were not published or withdrawn.`}
      options={{
        height: 220,
        marginLeft: 52,
        marginRight: 24,
        x: timeAxis(
          fits.map(({ finishedAt }) => finishedAt),
          formats,
        ),
        y: { label: null, zero: true, nice: true, ticks: 4 },
        marks: [
          ruleY([0], { strokeOpacity: 0.3 }),
          line(used, { x: 'finishedAt', y: 'nJobs', strokeOpacity: 0.5, className: 'mark-1' }),
          dot(used, { x: 'finishedAt', y: 'nJobs', r: 4.5, fill: 'currentColor', className: 'mark-1' }),
          dot(other, { x: 'finishedAt', y: 'nJobs', r: 5, symbol: 'square', className: 'mark-2' }),
        ],
      }}
      table={{
        columns: ['Learnt', 'Jobs', 'What became of it'],
        rows: fits.map(({ finishedAt, nJobs, status }) => [
          `${formats.date(finishedAt)}, ${formats.time(finishedAt)}`,
          formats.number(nJobs),
          statusWords[status],
        ]),
        csv: '/findings/fits.csv',
      }}
    >
      <p>
        <b class="mark-1">Full dot</b>: estimates were made from it. <b class="mark-2">Hollow square</b>: not published,
        or withdrawn.
      </p>
    </Figure>
  );
}
