import type { Machine } from '../domain/lists.ts';
import { grades } from '../domain/vocabulary.ts';
import { ChoiceField, FaultSummary, NumberField, QuantityField, SelectField, TypedIn } from './fields.tsx';
import { type AnsweredUpgrade, UpgradeAnswer } from './findings-upgrade-answer.tsx';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { Notice } from './notice.tsx';
import { namesOf } from './words.ts';

interface UpgradeProps {
  readonly form: FormState;
  readonly owned: readonly Machine[];
  readonly formats: Formats;
  readonly answered?: AnsweredUpgrade | undefined;
  readonly whyNot?: string | undefined;
}

/** Would a better extractor pay? Asked by address, so that an answer can be kept and compared with another. */
export function Upgrade({ form, owned, formats, answered, whyNot }: UpgradeProps) {
  return (
    <section id="upgrade">
      <h2>Would a better extractor pay?</h2>
      {whyNot && (
        <Notice kind="note">
          <p>{whyNot}.</p>
        </Notice>
      )}
      {answered && <UpgradeAnswer {...answered} owned={owned} formats={formats} />}
      <FaultSummary form={form} />
      <UpgradeForm {...{ form, owned, formats }} />
    </section>
  );
}

function UpgradeForm({ form, owned, formats }: Pick<UpgradeProps, 'form' | 'owned' | 'formats'>) {
  const { units, currency } = formats;
  return (
    <form method="get" action="/findings/machines#upgrade" class="stack no-print">
      <TypedIn units={units} />
      <NumberField form={form} name="price" label="What it costs" unit={currency} />
      <ChoiceField
        form={form}
        name="grade"
        label="Its grade"
        hint="A portable one is entry, one for daily trade standard, a truck mount high. Or give its suction or airflow."
        options={grades.map((grade) => [grade, grade] as const)}
      />
      <div class="row">
        <QuantityField
          form={form}
          name="waterLiftKpa"
          label="Suction, as water lift"
          quantity="kilopascals"
          units={units}
        />
        <QuantityField form={form} name="airflowM3h" label="Airflow" quantity="airflowM3h" units={units} />
      </div>
      <SelectField
        form={form}
        name="replaces"
        label="It takes over the work of"
        options={namesOf(owned)}
        none="the one used most"
      />
      <div class="row">
        <NumberField form={form} name="lifeMonths" label="It lasts" unit="months" initial={60} />
        <NumberField form={form} name="jobsPerMonth" label="Jobs a month, if not as now" />
        <NumberField form={form} name="labourRate" label="A freed hour is worth, if not our rate" unit={currency} />
      </div>
      <button type="submit">Reckon it</button>
    </form>
  );
}
