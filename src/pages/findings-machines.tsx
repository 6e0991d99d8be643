import {
  type MachineDifference,
  type MachineStanding,
  type MachinesReport,
  machinesSentence,
} from '../insight/machines/report.ts';
import type { Range } from '../insight/range.ts';
import { SelectField } from './fields.tsx';
import { Figure, type FigureTable, NumbersTable } from './figure.tsx';
import { rangePicture } from './findings-intervals.ts';
import { chanceText, differenceText, ninetyPercent, rangeText, signed } from './findings-words.ts';
import { freshForm } from './form-input.ts';
import type { Formats } from './format.ts';
import { measureOf } from './measures.ts';
import { Notice } from './notice.tsx';
import { counted } from './words.ts';

interface MachinesProps {
  readonly report: MachinesReport;
  readonly formats: Formats;
}

/** The extractors of the shop on one and the same work. */
export function MachinesPage({ report, formats }: MachinesProps) {
  const { machines } = report;
  return (
    <>
      <p class="answer">{machinesSentence(report)}</p>
      {warningsOf(report).map((warning) => (
        <Notice kind="caution">
          <p>{warning}</p>
        </Notice>
      ))}
      {machines.length === 0 && (
        <p>Choose the extractor with each job that is recorded: two of them, some jobs each, can be compared.</p>
      )}
      {machines.length === 1 && (
        <NumbersTable caption="The only extractor used so far" table={tableOf(report, formats)} />
      )}
      {machines.length > 1 && (
        <>
          <Differences report={report} formats={formats} />
          <form method="get" action="/findings/machines" class="filter no-print">
            <div class="row">
              <SelectField
                form={freshForm}
                name="baseline"
                label="Compare with"
                options={machines.map(({ machine, name }) => [machine, name] as const)}
                initial={report.baseline ?? undefined}
              />
              <button type="submit">Compare</button>
            </div>
          </form>
        </>
      )}
      <p class="soft">{report.caution}</p>
    </>
  );
}

function warningsOf({ machines }: MachinesReport): readonly string[] {
  return machines.flatMap(({ name, againstBaseline }) =>
    againstBaseline?.warning ? [`${name}: ${againstBaseline.warning}`] : [],
  );
}

function Differences({ report, formats }: MachinesProps) {
  const { machines, jobsInMix } = report;
  const base = machines.find(({ againstBaseline }) => againstBaseline === null)?.name ?? '';
  const others = machines.flatMap(({ name, againstBaseline }) =>
    againstBaseline === null ? [] : [{ name, hours: againstBaseline.hours }],
  );
  return (
    <Figure
      title={`Person-hours a job more or fewer than with ${base}, on the same work`}
      alternative={`${others.map(({ name, hours }) => `${name} ${differenceText(hours, formats, 2, 'h')}`).join('; ')}.`}
      options={rangePicture({
        groups: [{ rows: others.map(({ name, hours }) => ({ name, full: hours })) }],
        lines: [{ at: 0, says: 'no difference' }],
        tick: (hours) => `${signed(hours, tickDigits(others), formats)} h`,
        marginLeft: 150,
      })}
      table={tableOf(report, formats)}
    >
      <p>
        Left of the broken line is less work. Each extractor as if it had done the same{' '}
        {counted(jobsInMix, 'job', formats)}, taken evenly from the last year’s. {ninetyPercent}
      </p>
    </Figure>
  );
}

/** Between extractors that are much alike the scale goes by steps of less than a tenth of an hour. */
function tickDigits(others: readonly { readonly hours: Range }[]): number {
  const low = Math.min(0, ...others.map(({ hours }) => hours.p05));
  const high = Math.max(0, ...others.map(({ hours }) => hours.p95));
  return high - low < 0.3 ? 2 : 1;
}

const columns = [
  'Extractor',
  'Its jobs',
  'Hours a job (90 % range)',
  'Hours against the one compared with',
  'Chance of fewer hours',
  'Water left in the wettest part',
  'Water against it',
  'Chance of less water',
  'Drying',
  'Drying against it',
  'Passes a part',
];

function tableOf({ machines, baseline }: MachinesReport, formats: Formats): FigureTable {
  const csv = baseline === null ? '' : `?baseline=${encodeURIComponent(baseline)}`;
  return { columns, rows: machines.map((one) => rowOf(one, formats)), csv: `/findings/machines.csv${csv}` };
}

function rowOf(one: MachineStanding, formats: Formats): string[] {
  const { hours, moreWater, chanceDrier, dryHours, chanceFewerHours } = against(one.againstBaseline, formats);
  const water = measureOf('litresPerM2', formats.units);
  return [
    `${one.name}, ${one.grade}`,
    formats.number(one.jobs),
    rangeText(one.hours, (value) => formats.number(value, 2), 'h'),
    hours,
    chanceFewerHours,
    rangeText(one.waterLPerM2, (value) => formats.number(water.fromSi(value), water.digits), water.unit),
    moreWater,
    chanceDrier,
    rangeText(one.dryHours, (value) => formats.number(value, 1), 'h'),
    dryHours,
    rangeText(one.passes, (value) => formats.number(value, 2)),
  ];
}

function against(difference: MachineDifference | null, formats: Formats) {
  if (difference === null)
    return { hours: 'compared with', chanceFewerHours: '–', moreWater: '–', chanceDrier: '–', dryHours: '–' };
  return {
    hours: differenceText(difference.hours, formats, 2, 'h'),
    chanceFewerHours: chanceText(difference.chanceFewerHours, formats),
    moreWater: differenceText(difference.waterPercent, formats, 0, '%'),
    chanceDrier: chanceText(difference.chanceDrier, formats),
    dryHours: differenceText(difference.dryHours, formats, 1, 'h'),
  };
}
