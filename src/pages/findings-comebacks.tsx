import { type ComebackRate, type ComebackReport, comebackSentence, waterClasses } from '../insight/comebacks.ts';
import { Figure } from './figure.tsx';
import { rangePicture } from './findings-intervals.ts';
import { ninetyPercent, rangeText } from './findings-words.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { headingFor } from './words.ts';

interface ComebacksProps {
  readonly report: ComebackReport;
  readonly formats: Formats;
}

/** What came back, and after what work? */
export function ComebacksPage({ report, formats }: ComebacksProps) {
  return (
    <>
      <p class="answer">{comebackSentence(report)}</p>
      {report.jobs > 0 && report.jobs < fewJobs && (
        <Notice kind="note">
          <p>With so few jobs to tell by, the ranges say little more than the rule of thumb of 3 in 100.</p>
        </Notice>
      )}
      {report.jobs === 0 && (
        <p>
          It is noted with the job on the page <a href="/jobs/recent">Recent jobs</a>, with an older one by “Mend this
          job”.
        </p>
      )}
      {report.jobs > 0 && <Shares report={report} formats={formats} />}
      <p class="soft">{report.caution}</p>
    </>
  );
}

const fewJobs = 30;

function Shares({ report, formats }: ComebacksProps) {
  const write = (share: number) => formats.share(share, 1);
  const sorted = groupsOf(report, formats);
  const all = { ...report, kind: 'All jobs' };
  const lines = [all, ...sorted.flatMap(({ rates }) => rates)];
  return (
    <Figure
      title="Share of jobs that came back, by what was done"
      alternative={`${lines.map(({ kind, share }) => `${kind} ${rangeText(share, write)}`).join('; ')}.`}
      options={rangePicture({
        groups: [
          { rows: [{ name: all.kind, full: all.share }] },
          ...sorted.map(({ title, rates }) => ({
            title,
            rows: rates.map(({ kind, share }) => ({ name: kind, full: share })),
          })),
        ],
        lines: [{ at: all.share.p50, says: 'all jobs' }],
        from: 0,
        tick: (share) => formats.share(share),
        marginLeft: 168,
      })}
      table={{
        columns: ['Kind of job', 'Jobs that count', 'Came back', 'Nothing noted', 'Share (90 % range)'],
        rows: lines.map(({ kind, jobs, cases, silent, share }) => [
          kind,
          formats.number(jobs),
          formats.number(cases),
          formats.number(silent),
          rangeText(share, write),
        ]),
        csv: '/findings/comebacks.csv',
      }}
    >
      <p>
        {ninetyPercent} Kinds with few jobs are held to the share of the shop’s other jobs. A job with several methods
        or stains counts for each.
      </p>
    </Figure>
  );
}

function groupsOf({ byMethod, byStain, byWaterLeftIn }: ComebackReport, formats: Formats) {
  const inWords = (rate: ComebackRate) => ({ ...rate, kind: headingFor(rate.kind) });
  return [
    { title: 'Method', rates: byMethod.map(inWords) },
    { title: 'Stain', rates: byStain.map(inWords) },
    {
      title: 'Water left in, where measured',
      rates: byWaterLeftIn.map((rate, i) => ({ ...rate, kind: waterText(i, formats) })),
    },
  ];
}

/** One of the report's classes in the shop's units. */
function waterText(i: number, formats: Formats): string {
  const [from, below] = [waterClasses[i - 1]?.below, waterClasses[i]?.below];
  const write = (litres: number) => formats.quantity('litresPerM2', litres);
  if (from === undefined) return `under ${write(below ?? 0)}`;
  return below === undefined || !Number.isFinite(below)
    ? `${write(from)} and more`
    : formats.quantityRange('litresPerM2', from, below);
}
