import type { Machine } from '../domain/lists.ts';
import { grades } from '../domain/vocabulary.ts';
import type { UpgradeReport } from '../insight/machines/upgrade.ts';
import { ChoiceField, FaultSummary, NumberField, QuantityField, SelectField } from './fields.tsx';
import { withRange } from './findings-words.ts';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { IntervalFigure } from './interval-figure.tsx';
import { Notice } from './notice.tsx';

interface UpgradeProps {
  readonly form: FormState;
  readonly owned: readonly Machine[];
  readonly formats: Formats;
  readonly report?: UpgradeReport | undefined;
  readonly whyNot?: string | undefined;
}

/** Would a better extractor pay? */
export function Upgrade({ form, owned, formats, report, whyNot }: UpgradeProps) {
  return (
    <section id="upgrade">
      <h2>Would a better extractor pay?</h2>
      {whyNot && (
        <Notice kind="note">
          <p>{whyNot}</p>
        </Notice>
      )}
      {report && <Answer report={report} formats={formats} />}
      <FaultSummary form={form} />
      <form method="get" action="/findings/machines" class="stack no-print">
        <NumberField form={form} name="price" label="What it costs" unit={formats.currency} />
        <ChoiceField
          form={form}
          name="grade"
          label="Its grade"
          hint="A portable one is entry, one for daily trade standard, a truck mount high. Or give its suction."
          options={grades.map((grade) => [grade, grade] as const)}
        />
        <div class="row">
          <QuantityField
            form={form}
            name="waterLiftKpa"
            label="Suction (water lift)"
            quantity="kilopascals"
            units={formats.units}
          />
          <QuantityField form={form} name="airflowM3h" label="Airflow" quantity="airflowM3h" units={formats.units} />
        </div>
        <SelectField
          form={form}
          name="replaces"
          label="It takes over the work of"
          options={owned.map(({ key, name }) => [key, name] as const)}
          none="the one used most"
        />
        <div class="row">
          <NumberField form={form} name="lifeMonths" label="It lasts (months)" initial={60} />
          <NumberField form={form} name="jobsPerMonth" label="Jobs a month, if not as now" />
          <NumberField form={form} name="labourRate" label="An hour freed is worth" unit={formats.currency} />
        </div>
        <button type="submit">Reckon it</button>
      </form>
    </section>
  );
}

function Answer({ report, formats }: { report: UpgradeReport; formats: Formats }) {
  const { payback, hoursSavedPerMonth, dryingHoursSavedPerMonth, savingPerMonth } = report;
  const hours = (value: number) => `${formats.number(value, 1)} h`;
  const months = (value: number | null) => (value === null ? 'never' : `${formats.number(value)} months`);
  return (
    <>
      <p class="answer">{report.answer}</p>
      <IntervalFigure
        title="What it saves a month"
        alternative={`Person-hours ${withRange(hoursSavedPerMonth, hours)}; hours of drying ${withRange(dryingHoursSavedPerMonth, hours)}`}
        lines={[
          {
            label: 'person-hours',
            low: hoursSavedPerMonth.p05,
            middle: hoursSavedPerMonth.p50,
            high: hoursSavedPerMonth.p95,
          },
          {
            label: 'drying',
            low: dryingHoursSavedPerMonth.p05,
            middle: dryingHoursSavedPerMonth.p50,
            high: dryingHoursSavedPerMonth.p95,
          },
        ]}
        axis="hours saved a month"
        tickFormat={(value) => formats.number(value)}
        marks={[{ at: 0, label: 'nothing saved' }]}
        table={{
          columns: ['Figure', 'Middle, and where nine in ten lie'],
          rows: [
            ['Person-hours saved a month', withRange(hoursSavedPerMonth, hours)],
            ['Hours of drying saved a month', withRange(dryingHoursSavedPerMonth, hours)],
            ['Worth a month', withRange(savingPerMonth, (value) => formats.money(value))],
            ['Paid for, one chance in ten', months(payback.p10)],
            ['Paid for, as likely as not', months(payback.p50)],
            ['Paid for, nine chances in ten', months(payback.p90)],
            ['Chance that it never is, within its life', formats.share(payback.chanceNever)],
            [
              'Jobs with a lent one that would settle it',
              report.trialJobs === null ? 'none would' : formats.number(report.trialJobs),
            ],
          ],
        }}
      >
        <p>
          {formats.number(report.jobsPerMonth, 1)} jobs a month; taken as grade {report.grade}, from{' '}
          {report.gradeFrom === 'request' ? 'what you said' : 'suction and airflow'}.
        </p>
      </IntervalFigure>
      <Notice kind="caution">
        <p>{report.caution}</p>
      </Notice>
    </>
  );
}
