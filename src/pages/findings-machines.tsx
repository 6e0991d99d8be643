import type { Machine } from '../domain/lists.ts';
import type { MachineDifference, MachineStanding, MachinesReport } from '../insight/machines/report.ts';
import { SelectField } from './fields.tsx';
import { intervalOf, ninetyPercent, withRange } from './findings-words.ts';
import { freshForm } from './form-input.ts';
import type { Formats } from './format.ts';
import { IntervalFigure } from './interval-figure.tsx';
import { Notice } from './notice.tsx';

interface MachinesProps {
  readonly report: MachinesReport;
  readonly owned: readonly Machine[];
  readonly formats: Formats;
}

/** The extractors of the shop on one and the same work. */
export function MachinesPage({ report, owned, formats }: MachinesProps) {
  const warnings = report.machines.flatMap(({ name, againstBaseline }) =>
    againstBaseline?.warning ? [`${name}: ${againstBaseline.warning}`] : [],
  );
  return (
    <>
      <p class="answer">{report.answer}</p>
      {warnings.map((warning) => (
        <Notice kind="caution">
          <p>{warning}</p>
        </Notice>
      ))}
      {report.machines.length > 0 && <Hours report={report} formats={formats} />}
      {report.machines.length > 1 && (
        <form method="get" action="/findings/machines" class="stack no-print">
          <SelectField
            form={freshForm}
            name="baseline"
            label="Compare with"
            options={owned.map(({ key, name }) => [key, name] as const)}
            initial={report.baseline ?? undefined}
          />
          <button type="submit">Compare</button>
        </form>
      )}
      <p class="soft">{report.caution}</p>
    </>
  );
}

function Hours({ report: { machines, jobsInMix }, formats }: Pick<MachinesProps, 'report' | 'formats'>) {
  const hours = (value: number) => `${formats.number(value, 2)} h`;
  return (
    <IntervalFigure
      title="Person-hours a job, on the shop’s own mix of the last year"
      alternative={machines.map((one) => `${one.name}: ${withRange(one.hours, hours)}`).join('; ')}
      lines={machines.map((one) => intervalOf(one.name, one.hours))}
      axis="person-hours a job"
      tickFormat={(value) => formats.number(value, 1)}
      table={{ columns, rows: machines.map((one) => rowOf(one, formats)), csv: '/findings/machines.csv' }}
    >
      <p>
        Each machine as if it had done all {formats.number(jobsInMix)} jobs of the mix. {ninetyPercent} Ranges that
        overlap do not mean alike: the table has the differences, which are surer than either.
      </p>
    </IntervalFigure>
  );
}

const columns = [
  'Extractor',
  'Its jobs',
  'Passes a part',
  'Hours a job',
  'Water left in',
  'Drying',
  'Hours against the one compared with',
  'Water against it',
  'Drying against it',
  'Chance of fewer hours',
];

function rowOf(one: MachineStanding, formats: Formats): string[] {
  const hours = (value: number) => `${formats.number(value, 2)} h`;
  return [
    `${one.name}, ${one.grade}`,
    formats.number(one.jobs),
    withRange(one.passes, (value) => formats.number(value, 2)),
    withRange(one.hours, hours),
    withRange(one.waterLPerM2, (value) => formats.quantity('litresPerM2', value)),
    withRange(one.dryHours, (value) => `${formats.number(value, 1)} h`),
    ...differences(one.againstBaseline, formats),
  ];
}

function differences(against: MachineDifference | null, formats: Formats): string[] {
  if (against === null) return ['compared with', '–', '–', '–'];
  const signed = (value: number, digits: number, unit: string) =>
    `${value > 0 ? '+' : value < 0 ? '−' : ''}${formats.number(Math.abs(value), digits)}${unit}`;
  return [
    withRange(against.hours, (value) => signed(value, 2, ' h')),
    withRange(against.waterPercent, (value) => signed(value, 0, '%')),
    withRange(against.dryHours, (value) => signed(value, 1, ' h')),
    formats.share(against.chanceFewerHours),
  ];
}
