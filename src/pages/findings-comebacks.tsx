import type { ComebackRate, ComebackReport } from '../insight/comebacks.ts';
import { intervalOf, ninetyPercent, withRange } from './findings-words.ts';
import type { Formats } from './format.ts';
import { IntervalFigure } from './interval-figure.tsx';
import { wordsFor } from './words.ts';

/** What came back, and after what work? */
export function ComebacksPage({ report, formats }: { report: ComebackReport; formats: Formats }) {
  const share = (value: number) => formats.share(value, 1);
  const rates: ComebackRate[] = [
    ...report.byMethod.map((rate) => ({ ...rate, kind: wordsFor(rate.kind) })),
    ...report.byStain.map((rate) => ({ ...rate, kind: `stain: ${wordsFor(rate.kind)}` })),
    ...report.byWaterLeftIn,
  ];
  return (
    <>
      <p class="answer">{report.answer}</p>
      {report.jobs > 0 && (
        <IntervalFigure
          title="Share of jobs that came back, by what was done"
          alternative={rates.map((rate) => `${rate.kind}: ${withRange(rate.share, share)}`).join('; ')}
          lines={rates.map((rate) => intervalOf(rate.kind, rate.share))}
          axis="share of jobs that came back"
          tickFormat={(value) => formats.share(value)}
          marks={[{ at: report.share.p50, label: 'all jobs' }]}
          table={{
            columns: ['Kind of job', 'Outcome known', 'Came back', 'Share'],
            rows: [{ kind: 'all', jobs: report.jobs, cases: report.cases, share: report.share }, ...rates].map(
              (rate) => [
                rate.kind,
                formats.number(rate.jobs),
                formats.number(rate.cases),
                withRange(rate.share, share),
              ],
            ),
            csv: '/findings/comebacks.csv',
          }}
        >
          <p>{ninetyPercent} Kinds with few jobs are held to the shop’s own share.</p>
        </IntervalFigure>
      )}
      <p class="soft">{report.caution}</p>
    </>
  );
}
