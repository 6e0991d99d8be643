import { dot, ruleX, ruleY } from '@observablehq/plot';
import type { RecordingReport, Suggestion } from '../insight/teach/what-to-record.ts';
import type { ChartOptions } from './chart.ts';
import { datesInWords } from './dates-in-words.ts';
import { Figure, NumbersTable } from './figure.tsx';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { counted, wordsFor } from './words.ts';

interface RecordingProps {
  readonly report: RecordingReport;
  /** Names of technicians and machines by key. */
  readonly names: ReadonlyMap<string, string>;
  readonly formats: Formats;
}

/** Which records would teach most next. */
export function RecordingPage({ report, names, formats }: RecordingProps) {
  const { answer, mixJobs, suggestions, looks } = report;
  const lines = suggestions.map((one) => ({ ...one, label: labelOf(one, names) }));
  return (
    <>
      <p class="answer">{answer}</p>
      {looks && (
        <Notice kind="note">
          <p>{datesInWords(looks, formats)}</p>
        </Notice>
      )}
      {lines.length > 0 && (
        <>
          <Figure
            title="How much narrower ten more readings would make the ranges"
            alternative={inWords(lines.slice(0, mostDrawn), formats)}
            options={pictureOf(lines.slice(0, mostDrawn))}
            table={tableOf(lines, formats)}
          >
            <p>
              <b class="mark-1">Full dot</b>: the range of the water left in. <b class="mark-2">Hollow square</b>: the
              range of the drying time. Forecasts as they are made now, averaged over {counted(mixJobs, 'job', formats)}{' '}
              of the last year; how jobs differ among themselves no record makes smaller.
            </p>
          </Figure>
          <NumbersTable caption="What to note, the most telling first" table={tableOf(lines, formats)} />
        </>
      )}
      <p>Passes and minutes are in every record; litres and drying checks are what a shop may or may not note.</p>
    </>
  );
}

type Line = Suggestion & { readonly label: string };

const mostDrawn = 12;

function labelOf({ note, of, key }: Suggestion, names: RecordingProps['names']): string {
  const what = note === 'litres' ? 'Tanks' : 'Drying';
  return `${what}: ${of === 'any job' ? 'any job' : (names.get(key) ?? wordsFor(key))}`;
}

function pictureOf(lines: readonly Line[]): ChartOptions {
  const percent = (of: 'narrowsWater' | 'narrowsDrying') => (line: Line) => 100 * line[of];
  const most = Math.max(1, ...lines.flatMap((line) => [percent('narrowsWater')(line), percent('narrowsDrying')(line)]));
  const seen = (of: 'narrowsWater' | 'narrowsDrying') => lines.filter((line) => line[of] > 0);
  return {
    height: 60 + 26 * lines.length,
    marginLeft: 190,
    marginRight: 20,
    marginTop: 8,
    x: { domain: [0, most], label: null, ticks: 5, tickFormat: (value: number) => `${value} %` },
    y: { type: 'point', domain: lines.map(({ label }) => label), label: null, tickSize: 0, padding: 0.6 },
    marks: [
      ruleX([0], { strokeOpacity: 0.5 }),
      ruleY(lines, { y: 'label', strokeOpacity: 0.15 }),
      dot(seen('narrowsWater'), {
        y: 'label',
        x: percent('narrowsWater'),
        r: 4.5,
        fill: 'currentColor',
        className: 'mark-1',
      }),
      dot(seen('narrowsDrying'), {
        y: 'label',
        x: percent('narrowsDrying'),
        r: 5,
        symbol: 'square',
        className: 'mark-2',
      }),
    ],
  };
}

function inWords(lines: readonly Line[], formats: Formats): string {
  const said = lines.map(
    ({ label, narrowsWater, narrowsDrying }) =>
      `${label}: water ${formats.share(narrowsWater)}, drying ${formats.share(narrowsDrying)} narrower`,
  );
  return `${said.join('; ')}.`;
}

function tableOf(lines: readonly Line[], formats: Formats) {
  return {
    columns: ['Ten more readings of', 'Jobs that have it', 'Water left in: narrower by', 'Drying time: narrower by'],
    rows: lines.map(({ label, jobsSoFar, narrowsWater, narrowsDrying }) => [
      label,
      formats.number(jobsSoFar),
      formats.share(narrowsWater),
      formats.share(narrowsDrying),
    ]),
    csv: '/findings/what-to-record.csv',
  };
}
