import type { TechnicianWetness, WetnessReport } from '../insight/wetness/report.ts';
import { intervalOf, ninetyPercent, withRange } from './findings-words.ts';
import type { Formats } from './format.ts';
import { IntervalFigure } from './interval-figure.tsx';
import { Notice } from './notice.tsx';

interface WetnessProps {
  readonly report: WetnessReport;
  readonly formats: Formats;
}

/** Who leaves too much water in the fabric? */
export function WetnessPage({ report, formats }: WetnessProps) {
  return (
    <>
      <p class="answer">{report.answer}</p>
      <Notice kind="caution">
        <p>{report.caution}</p>
      </Notice>
      {report.technicians.length > 0 && <Multipliers report={report} formats={formats} />}
      <h2>Each one in words</h2>
      <ul>
        {report.technicians.map(({ says }) => (
          <li>{says}</li>
        ))}
      </ul>
      {report.technicians.length === 0 && <p>With one technician there is nobody to compare.</p>}
      <h2>Before you say anything</h2>
      <p>Look at:</p>
      <List of={report.lookAt} />
      <p>It could also be:</p>
      <List of={report.alsoPossible} />
      <p>
        {formats.number(report.measuredJobs)} jobs had their litres measured. {report.jobsToBeSure}
      </p>
    </>
  );
}

function List({ of }: { of: readonly string[] }) {
  return (
    <ul>
      {of.map((one) => (
        <li>{one}</li>
      ))}
    </ul>
  );
}

function Multipliers({ report: { technicians }, formats }: WetnessProps) {
  const times = (value: number) => `${formats.number(value, 2)} ×`;
  return (
    <IntervalFigure
      title="Water left in, against the others on the same work"
      alternative={technicians
        .map(({ name, waterWithHabit }) => `${name}: ${withRange(waterWithHabit, times)}`)
        .join('; ')}
      lines={technicians.map(({ name, waterWithHabit }) => intervalOf(name, waterWithHabit))}
      second={technicians.map(({ name, waterAtEqualDryPasses }) => intervalOf(name, waterAtEqualDryPasses))}
      axis="times the water that the others leave"
      tickFormat={(value) => formats.number(value, 1)}
      marks={[{ at: 1, label: 'as the others' }]}
      table={{ columns, rows: technicians.map((one) => rowOf(one, formats)), csv: '/findings/wetness.csv' }}
    >
      <p>
        <b class="mark-1">Dot and line</b>: as they work, dry passes and all. <b class="mark-2">Hollow square</b>: at
        equal dry passes, which leaves trigger and nozzle. {ninetyPercent} Somebody is named only past nine chances in
        ten of more than 1.15 times the others, and at least eight measured jobs.
      </p>
    </IntervalFigure>
  );
}

const columns = [
  'Technician',
  'Jobs',
  'Measured',
  'Water against the others',
  'Chance of more than 1.15 ×',
  'At equal dry passes',
  'Drying beyond what the litres say',
  'Dry passes to a wet one, against the others',
  'Came back for water',
  'Measured jobs still needed',
];

function rowOf(one: TechnicianWetness, formats: Formats): string[] {
  const times = (value: number) => `${formats.number(value, 2)} ×`;
  const gap = one.dryPassesPerWetGap;
  return [
    one.name,
    formats.number(one.jobs),
    formats.number(one.measuredJobs),
    withRange(one.waterWithHabit, times),
    formats.share(one.waterWithHabit.chanceAbove),
    withRange(one.waterAtEqualDryPasses, times),
    withRange(one.drying, times),
    `${formats.number(Math.abs(gap), 2)} ${gap < 0 ? 'fewer' : 'more'}`,
    `${formats.number(one.comebacks.cases)} of ${formats.number(one.comebacks.jobs)}`,
    one.moreMeasuredJobs === null ? '–' : formats.number(one.moreMeasuredJobs),
  ];
}
