import { holdsPlainly, type ModelRecord, type TrackRecord } from '../insight/track-record.ts';
import { trackSentence } from '../insight/track-sentence.ts';
import { datesInWords } from './dates-in-words.ts';
import { NumbersTable } from './figure.tsx';
import { shareText } from './findings-words.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { TrackFigure } from './trust-track-figure.tsx';
import { biasText, figureNames, missText, monthName, offByWords, percentRange, scoreText } from './trust-words.ts';

interface TrackProps {
  readonly record: TrackRecord;
  readonly formats: Formats;
}

/** How far these figures can be trusted: forecasts on jobs that they had not seen, against plainer ways to forecast. */
export function TrackPage({ record, formats }: TrackProps) {
  const seen = record.models.filter(({ outcomes }) => outcomes > 0);
  return (
    <>
      <p class="answer">{datesInWords(trackSentence(record), formats)}</p>
      {record.changes.map(({ says }) => (
        <Notice kind="caution">
          <p>{datesInWords(says, formats)}</p>
        </Notice>
      ))}
      {[...record.creeping.map(({ says }) => says), ...record.notes].map((note) => (
        <Notice kind="note">
          <p>{datesInWords(note, formats)}</p>
        </Notice>
      ))}
      {seen.length > 0 && (
        <>
          <TrackFigure months={record.months} formats={formats} />
          <h2>All months in sum</h2>
          <p>{offByWords}</p>
          <NumbersTable caption="Ranges in brackets hold nine times in ten" table={sums(seen, formats)} />
          <HowToRead models={seen} />
        </>
      )}
    </>
  );
}

function sums(models: readonly ModelRecord[], formats: Formats) {
  return {
    columns: [
      'Figure',
      'Forecast and seen',
      'Inside the 80 % range',
      'Are the ranges right?',
      'Off by (range counted), less is better',
      'Middle missed by',
      'Less off than the rule of thumb',
      'Less off than our means by soil',
      'Less off than least squares',
      'Ahead of the rule of thumb since',
      'On average it came',
    ],
    rows: models.map((one) => [
      figureNames[one.model],
      formats.number(one.outcomes),
      one.inside80 === null ? '–' : shareText(one.inside80, formats),
      one.ranges === 'hold' && !holdsPlainly(one.inside80) ? 'not quite, which chance can do' : rangesHold[one.ranges],
      scoreText(one.model, one.meanScore, formats),
      missText(one.model, one.meanMiss, formats),
      percentRange(one.gainPercent, formats),
      gainText(one.soilMeans, one.gainOverSoilMeans, one.rangeOverSoilMeans, formats),
      gainText(one.leastSquares, one.gainOverLeastSquares, one.rangeOverLeastSquares, formats),
      one.ownNumbersBetterSince === null ? 'not yet' : monthName(one.ownNumbersBetterSince),
      biasText(one.model, one.bias, formats),
    ]),
    csv: '/findings/track-record.csv',
  };
}

const rangesHold: Readonly<Record<ModelRecord['ranges'], string>> = {
  'nothing seen': 'nothing seen yet',
  'too few to tell': 'too few to tell',
  hold: 'yes, four in five hold',
  'too narrow': 'no, too narrow',
  'too wide': 'wider than need be',
};

function gainText(
  score: number | null,
  gain: number | null,
  range: ModelRecord['rangeOverSoilMeans'],
  formats: Formats,
): string {
  if (score !== null && gain === null) return 'they were all but right';
  return range === null ? 'too little known' : percentRange(range, formats);
}

function HowToRead({ models }: { models: readonly ModelRecord[] }) {
  return (
    <details>
      <summary>How this is reckoned</summary>
      <p>
        For each of the last twelve months the program learns again from the jobs finished before its start alone, and
        from lasting changes that had shown by then, forecasts that month’s finished jobs and compares. Three plainer
        ways forecast the same jobs: the rule of thumb alone, the shop’s own mean and spread by soil, and least squares
        on the same terms.
      </p>
      <p>
        Jobs are read as they are recorded today, those entered late or mended since among them, and by today’s rules of
        thumb: rules that were adjusted after looking at these jobs do better here than on jobs to come. What the latest
        fit takes for a slip is held against no forecast.
      </p>
      <ul>
        {models.map(({ model, score }) => (
          <li>
            {figureNames[model]}: {score}.
          </li>
        ))}
      </ul>
      <p>
        Who did it, the extractor, how it was dried and the air are taken from the record. An estimate that leaves them
        open knows less: its ranges are wider than these, and it is farther off.
      </p>
      <p>The months are told apart by UTC; of a busy month thirty jobs are forecast, evenly chosen.</p>
    </details>
  );
}
