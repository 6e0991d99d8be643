import { areaY, dot, lineY, ruleX, ruleY, text } from '@observablehq/plot';
import type { Machine } from '../domain/lists.ts';
import { paceSentence, type UpgradeReport, type UpgradeRequest, upgradeSentence } from '../insight/machines/upgrade.ts';
import type { ChartOptions } from './chart.ts';
import { Figure, NumbersTable } from './figure.tsx';
import { chanceText, differenceText, ninetyPercent, rangeText } from './findings-words.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';

export interface AnsweredUpgrade {
  readonly ask: UpgradeRequest;
  readonly report: UpgradeReport;
}

interface AnswerProps extends AnsweredUpgrade {
  readonly owned: readonly Machine[];
  readonly formats: Formats;
}

/** What a machine not owned yet would save, when it has paid for itself, and what would settle it. */
export function UpgradeAnswer(props: AnswerProps) {
  const { ask, report, owned, formats } = props;
  const replaced = owned.find(({ key }) => key === report.replaces)?.name ?? report.replaces;
  return (
    <>
      <p class="answer">{upgradeSentence(report, ask, formats.money(ask.price))}</p>
      <p>
        In place of {replaced}, {formats.number(report.jobsPerMonth, 1)} jobs a month, for {formats.money(ask.price)},
        taken as grade {report.grade}, from{' '}
        {report.gradeFrom === 'request' ? 'what you said' : 'its suction and airflow'}.{' '}
        {report.paceUntil && `${paceSentence(formats.dayShort(new Date(report.paceUntil)))} `}
        {trialText(report.trialJobs, formats)}
      </p>
      <PaidBack {...props} />
      <NumbersTable
        caption={`What it saves. ${ninetyPercent}`}
        table={{ columns: ['Figure', 'Middle (90 % range)'], rows: savings(report, formats) }}
      />
      <Notice kind="caution">
        <p>{report.caution}</p>
      </Notice>
    </>
  );
}

function trialText(trialJobs: number | null, formats: Formats): string {
  if (trialJobs === null) return 'More than 500 trial jobs would be needed to settle it: it is a close call.';
  if (trialJobs === 0) return 'No trial is needed to settle it, as far as the rules of thumb hold for this machine.';
  return `About ${formats.number(trialJobs)} trial jobs with a lent or rented one would settle it.`;
}

function PaidBack({ report, ask, formats }: AnswerProps) {
  const { chanceBy, chanceNever, p10, p50, p90 } = report.payback;
  const months = (value: number | null) =>
    value === null ? `not within ${formats.number(ask.lifeMonths)} months` : `by month ${formats.number(value)}`;
  const told = [
    ['one chance in ten', p10],
    ['as likely as not', p50],
    ['nine chances in ten', p90],
  ] as const;
  return (
    <Figure
      title="Chance that it has paid for itself, by month"
      alternative={`${told.map(([says, month]) => `${says}: ${months(month)}`).join('; ')}; never within its life: ${chanceText(chanceNever, formats)}.`}
      options={pictureOf(report, formats)}
      table={{
        columns: ['By the end of month', 'Chance that it has paid for itself'],
        rows: chanceBy.map(({ month, chance }) => [formats.number(month), formats.share(chance)]),
      }}
    >
      <p>
        Dots: {told.map(([says, month]) => `${says} ${months(month)}`).join(', ')}. The chance that it never does within
        its {formats.number(ask.lifeMonths)} months is {chanceText(chanceNever, formats)}.
      </p>
    </Figure>
  );
}

function pictureOf({ payback: { chanceBy, p10, p50, p90 } }: UpgradeReport, formats: Formats): ChartOptions {
  const marked = [
    { month: p10, chance: 0.1 },
    { month: p50, chance: 0.5 },
    { month: p90, chance: 0.9 },
  ].filter(({ month }) => month !== null);
  const curve = { x: 'month', curve: 'step-after' } as const;
  return {
    width: 420,
    height: 250,
    marginLeft: 46,
    marginRight: 18,
    marginTop: 16,
    marginBottom: 46,
    x: { label: 'months', labelAnchor: 'center', labelArrow: 'none', ticks: 6 },
    y: { domain: [0, 1], ticks: [0, 0.5, 1], tickFormat: (share: number) => formats.share(share), label: null },
    marks: [
      ruleY([0]),
      ruleY([0.5], { strokeDasharray: '5 4', strokeOpacity: 0.7 }),
      areaY(chanceBy, { ...curve, y: 'chance', fill: 'currentColor', fillOpacity: 0.15, className: 'mark-1' }),
      lineY(chanceBy, { ...curve, y: 'chance', strokeWidth: 2.5, className: 'mark-1' }),
      ruleX(marked, { x: 'month', y1: 0, y2: 'chance', strokeDasharray: '2 3', className: 'mark-2' }),
      dot(marked, { x: 'month', y: 'chance', r: 4.5, fill: 'currentColor', className: 'mark-2' }),
      text(marked, { x: 'month', y: 'chance', text: 'month', dx: 8, dy: 12, textAnchor: 'start' }),
    ],
  };
}

function savings(report: UpgradeReport, formats: Formats): readonly (readonly string[])[] {
  const { hoursSavedPerMonth, dryingHoursSavedPerMonth, savingPerMonth, perJob } = report;
  const hours = (value: number) => formats.number(value, 1);
  return [
    ['Person-hours saved a month', rangeText(hoursSavedPerMonth, hours, 'h')],
    ['Bay time saved a month, while vehicles dry', rangeText(dryingHoursSavedPerMonth, hours, 'h')],
    ['Worth a month, at the rate for an hour', rangeText(savingPerMonth, (value) => formats.money(value))],
    ['Person-hours a job against the one it replaces', differenceText(perJob.hours, formats, 2, 'h')],
    ['Water left in against it', differenceText(perJob.waterPercent, formats, 0, '%')],
    ['Drying against it, a job', differenceText(perJob.dryHours, formats, 1, 'h')],
  ];
}
