import type { PlannedJobInput } from '../domain/planned.ts';
import type { ShopSettings } from '../domain/shop-settings.ts';
import { usualAreas } from '../domain/usual-sections.ts';
import { bodyStyles } from '../domain/vocabulary.ts';
import { Parts } from './desk-parts.tsx';
import { linesOf, type Offered } from './desk-plan.ts';
import { CheckField, NumberField, QuantityField, SelectField, TextField, TypedIn } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { Units } from './measures.ts';
import { bodyStyleOptions, dryingAidOptions, namesOf } from './words.ts';

export interface PlanFormProps extends Offered {
  readonly form: FormState;
  /** What stands in the fields until somebody types. */
  readonly plan: PlannedJobInput;
  /** The plan's start by the shop's clock, as a field for date and time has it. */
  readonly startAt: string;
  readonly settings: ShopSettings;
}

/** The planned job, as it is typed in with the customer at the counter. */
export function PlanForm(props: PlanFormProps) {
  const { form, plan, settings } = props;
  return (
    <form class="stack plan" method="post" action="/estimate#estimate" data-draft="/estimate/draft">
      <TypedIn units={settings.units} />
      <BodyStyle form={form} plan={plan} />
      <Parts form={form} units={settings.units} lines={linesOf(plan)} />
      <Work {...props} />
      <Drying form={form} plan={plan} units={settings.units} />
      <Others {...props} />
      <Price form={form} plan={plan} settings={settings} />
      <div class="row">
        <button type="submit" name="do" value="estimate" class="second">
          Estimate
        </button>
        <button type="submit" name="do" value="keep">
          Keep and give to the customer
        </button>
      </div>
    </form>
  );
}

function BodyStyle({ form, plan }: Pick<PlanFormProps, 'form' | 'plan'>) {
  const usual = Object.fromEntries(bodyStyles.map((style) => [style, usualAreas(style)]));
  return (
    <div class="row" data-usual={JSON.stringify(usual)}>
      <SelectField
        form={form}
        name="bodyStyle"
        label="Body style"
        options={bodyStyleOptions}
        initial={plan.bodyStyle}
        required
      />
      <NumberField form={form} name="modelYear" label="Model year, if known" initial={plan.modelYear} />
      <button type="submit" name="do" value="usual" class="second by-hand">
        Tick its usual seats
      </button>
    </div>
  );
}

function Work({ form, plan, startAt, technicians, machines }: PlanFormProps) {
  return (
    <fieldset class="group stack">
      <legend>The work</legend>
      <CheckField form={form} name="seatsRemoved" label="Seats are taken out" initial={plan.seatsRemoved ?? false} />
      <div class="row">
        <TextField
          form={form}
          name="startAt"
          label="Work begins"
          hint="By the shop’s clock; empty: no return time."
          type="datetime-local"
          initial={startAt}
        />
        <NumberField form={form} name="crew" label="At work at once" unit="people" initial={plan.crew ?? 1} />
      </div>
      <div class="row">
        <SelectField
          form={form}
          name="technician"
          label="Technician"
          options={namesOf(technicians)}
          initial={plan.technician}
          none="whoever is free"
        />
        <SelectField
          form={form}
          name="extractor"
          label="Extractor"
          options={namesOf(machines)}
          initial={plan.extractor ?? undefined}
          none="not decided"
        />
      </div>
    </fieldset>
  );
}

function Drying({ form, plan: { drying = {} }, units }: { units: Units } & Pick<PlanFormProps, 'form' | 'plan'>) {
  return (
    <fieldset class="group">
      <legend>Drying</legend>
      <div class="row">
        <SelectField
          form={form}
          name="drying.aid"
          label="How it is dried"
          options={dryingAidOptions}
          initial={drying.aid}
          none="not decided"
        />
        <QuantityField
          form={form}
          name="drying.airC"
          label="Air temperature"
          quantity="celsius"
          units={units}
          initial={drying.airC}
        />
        <NumberField form={form} name="drying.rhPercent" label="Humidity" unit="%" initial={drying.rhPercent} />
      </div>
    </fieldset>
  );
}

/** The same job done another way; each that is chosen is compared with the plan. */
function Others({ form, technicians, machines }: PlanFormProps) {
  return (
    <details class="group" open={others.some((name) => form.typed(`other.${name}`))}>
      <summary>Compare with another way</summary>
      <CheckField form={form} name="other.spot" label="Spot cleaning only" />
      <CheckField form={form} name="other.seats" label="Seats the other way, in or out" />
      <div class="row">
        <SelectField form={form} name="other.extractor" label="Other extractor" options={namesOf(machines)} none="–" />
        <SelectField
          form={form}
          name="other.technician"
          label="Other technician"
          options={namesOf(technicians)}
          none="–"
        />
        <SelectField form={form} name="other.dryingAid" label="Other drying" options={dryingAidOptions} none="–" />
      </div>
    </details>
  );
}

const others = ['spot', 'seats', 'extractor', 'technician', 'dryingAid'];

function Price({ form, plan, settings }: Pick<PlanFormProps, 'form' | 'plan' | 'settings'>) {
  const { currency, labourRate, materials } = settings;
  const own = plan.labourRate !== undefined || plan.materials !== undefined;
  return (
    <details
      class="group"
      open={own || form.fault('labourRate') !== undefined || form.fault('materials') !== undefined}
    >
      <summary>Another rate for this job</summary>
      <div class="row">
        <NumberField
          form={form}
          name="labourRate"
          label="One hour of work"
          hint={`Empty: ${labourRate}`}
          unit={currency}
          initial={plan.labourRate}
        />
        <NumberField
          form={form}
          name="materials"
          label="Materials"
          hint={`Empty: ${materials}`}
          unit={currency}
          initial={plan.materials}
        />
      </div>
    </details>
  );
}
