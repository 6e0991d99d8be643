import type { KindBy } from '../insight/quotes/kinds.ts';
import type { QuotesReport } from '../insight/quotes/report.ts';
import type { KindOverrun, QuoteStanding } from '../insight/quotes/standings.ts';
import { Figure, type FigureTable } from './figure.tsx';
import { rangePicture } from './findings-intervals.ts';
import { factorText, shareText } from './findings-words.ts';
import type { Formats } from './format.ts';
import { headingFor, wordsFor } from './words.ts';

/** How often each kind of job ran over, as ranges against the share that may. */
export function QuotesFigure({ report, formats }: { report: QuotesReport; formats: Formats }) {
  const { risk } = report;
  const sorted = sortedKinds(report);
  const groups = sorted.map(({ title, kinds }) => ({
    title,
    rows: kinds.map(({ kind, shareOver }) => ({ name: headingFor(kind), full: shareOver })),
  }));
  return (
    <Figure
      title="Jobs that ran over their quoted hours, by kind, in per cent"
      alternative={inWords(report, formats)}
      options={rangePicture({
        groups: [{ rows: [{ name: 'All jobs', full: report.shareOver }] }, ...groups],
        lines: [{ at: risk, says: `wanted ${formats.share(risk)}` }],
        from: 0,
        tick: (share) => formats.share(share),
        marginLeft: 138,
      })}
      table={tableOf(report, sorted, formats)}
    >
      <p>
        The dot is the likeliest share, the line holds it nine times in ten: few jobs make it long. Far to the right of
        the broken line a kind is quoted too low, far to its left higher than need be. Of so many kinds one or two lines
        lie just beside it by chance: those are not named.
      </p>
    </Figure>
  );
}

const kindNames: Readonly<Record<KindBy, string>> = {
  bodyStyle: 'Body style',
  heaviestSoil: 'Heaviest soil',
  mainFabric: 'Main fabric',
  mainMethod: 'Main method',
  seats: 'Seats',
};

const kindBys = Object.keys(kindNames) as KindBy[];

interface SortedKinds {
  readonly title: string;
  readonly kinds: readonly KindOverrun[];
}

function sortedKinds({ byKind }: QuotesReport): readonly SortedKinds[] {
  return kindBys.map((by) => ({ title: kindNames[by], kinds: byKind[by] })).filter(({ kinds }) => kinds.length > 0);
}

const standings: Readonly<Record<QuoteStanding, string>> = {
  'too low': 'too low',
  'too high': 'higher than need be',
  unclear: 'about right, as far as can be told',
};

function inWords({ byKind, risk, shareOver }: QuotesReport, formats: Formats): string {
  const ran = `Of all jobs ${shareText(shareOver, formats)} ran over, wanted ${formats.share(risk)}.`;
  return [ran, ...standOut({ byKind })].join(' ');
}

/** The kinds that are quoted too low or too high beyond doubt, in sentences; of those that are not, that none stands out. */
export function standOut({ byKind }: Pick<QuotesReport, 'byKind'>): readonly string[] {
  const said = (['too low', 'too high'] as const).flatMap((standing) => {
    const kinds = kindBys.flatMap((by) =>
      byKind[by].filter((one) => one.standing === standing).map(({ kind }) => kindPhrase(by, kind)),
    );
    return kinds.length === 0 ? [] : `Quoted ${standings[standing]}: ${kinds.join('; ')}.`;
  });
  return said.length === 0 ? ['No kind of job stands out.'] : said;
}

/** A kind that can stand alone in a sentence: "heavy soil", "seats taken out", "minivan". */
function kindPhrase(by: KindBy, kind: string): string {
  if (by === 'heaviestSoil') return `${kind} soil`;
  if (by === 'seats') return `seats ${kind}`;
  return wordsFor(kind);
}

function tableOf(report: QuotesReport, sorted: readonly SortedKinds[], formats: Formats): FigureTable {
  const { risk, quotedJobs, over, shareOver, standing } = report;
  return {
    columns: [
      'Kind of job',
      'Jobs',
      'Ran over',
      'Share over (90 % range)',
      'The quote is',
      'Typically taken over quoted (90 % range)',
      'Where this was quoted, in the middle',
      `it should be, for ${formats.share(risk)} over`,
    ],
    rows: [
      [
        'All jobs',
        formats.number(quotedJobs),
        formats.number(over),
        shareText(shareOver, formats),
        standings[standing],
        '–',
        '–',
        '–',
      ],
      ...sorted.flatMap(({ title, kinds }) =>
        kinds.map((one) => [
          `${title}: ${wordsFor(one.kind)}`,
          formats.number(one.jobs),
          formats.number(one.over),
          shareText(one.shareOver, formats),
          standings[one.standing],
          factorText(one.takenOverQuoted, formats),
          `${formats.number(one.medianQuotedHours, 1)} h`,
          `${formats.number(one.hoursToQuote, 1)} h`,
        ]),
      ),
    ],
    csv: `/findings/quotes.csv?percent:number=${Number((100 * risk).toFixed(3))}`,
  };
}
