/** The form of a finished job: for recording one in the bay, and for mending one later. */
import type { Child } from 'hono/jsx';
import type { Machine, Technician } from '../domain/lists.ts';
import {
  CheckField,
  ChoiceField,
  FaultSummary,
  NumberField,
  QuantityField,
  SelectField,
  TextAreaField,
  TextField,
  TypedIn,
} from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { Formats } from './format.ts';
import { SectionFields } from './job-form-section.tsx';
import type { Units } from './measures.ts';
import {
  bodyStyleOptions,
  comebackOptions,
  damageOptions,
  dryingAidOptions,
  namesOf,
  resultOptions,
  wordsFor,
} from './words.ts';

interface JobFormProps {
  readonly form: FormState;
  readonly formats: Formats;
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly nSections: number;
  readonly nPeople: number;
  readonly action: string;
  /** What the button says. */
  readonly submit: string;
  /** For mending: the number is fixed, and all that can be learnt later is there too. */
  readonly whole?: { readonly nChecks: number };
  /** Whether nobody has sent it yet: what was typed and not stored before may then be offered again. */
  readonly fresh?: boolean;
  readonly children?: Child;
}

export function JobForm(props: JobFormProps) {
  const { form, formats, action, submit, whole, fresh, children } = props;
  const { units } = formats;
  return (
    <form class="stack job" method="post" action={action} data-fresh={fresh ? '' : undefined} novalidate>
      <FaultSummary form={form} />
      {/* Return pressed in a field is the first button: it must be the one that stores. */}
      <button type="submit" class="first-button" tabindex={-1}>
        {submit}
      </button>
      <TypedIn units={units} />
      {children}
      <Sections {...props} />
      <People {...props} />
      <Water form={form} units={units} />
      <details open={vehicleIsOpen(form, whole !== undefined)}>
        <summary>
          <JobInALine form={form} formats={formats} />
        </summary>
        <div class="stack">
          {!whole && (
            <TextField form={form} name="ref" label="Job number" hint="Your own; each job has one." maxlength={64} />
          )}
          <TextField form={form} name="finishedAt" label="Work ended" type="datetime-local" />
          <SelectField form={form} name="bodyStyle" label="Body style" options={bodyStyleOptions} />
          <NumberField form={form} name="modelYear" label="Model year" />
          <CheckField form={form} name="seatsRemoved" label="Seats were taken out" />
        </div>
      </details>
      <More form={form} units={units} currency={formats.currency} />
      {whole && <Later form={form} nChecks={whole.nChecks} />}
      <div class="row send">
        <button type="submit">{submit}</button>
      </div>
    </form>
  );
}

/** What is folded away of the job itself; bay.js lets the time go on until somebody sets it. */
function JobInALine({ form, formats }: { form: FormState; formats: Formats }) {
  const word = (name: string) => form.typed(name) || undefined;
  const [ref, style, ended] = [word('ref'), word('bodyStyle'), word('finishedAt')];
  return (
    <span>
      {ref ? `Job ${ref}` : 'The job'}
      {style && `, ${wordsFor(style)}`}
      {ended && (
        <>
          , ended <span data-ended={formats.locale}>{formats.clock(ended)}</span>
        </>
      )}
      ; change
    </span>
  );
}

function vehicleIsOpen(form: FormState, isWhole: boolean): boolean {
  const isWrong = form.faults.some(({ pointer }) =>
    /^\/(ref|finishedAt|bodyStyle|modelYear|seatsRemoved)/.test(pointer),
  );
  return isWrong || (!isWhole && !form.typed('ref'));
}

/** A button that changes the form’s shape comes back to where it was pressed: the part that it adds, not the top of the page. */
function Sections({ form, formats: { units }, technicians, nSections, action }: JobFormProps) {
  return (
    <>
      {places(nSections).map((i) => (
        <SectionFields {...{ form, units, technicians, i, action }} removable={nSections > 1} />
      ))}
      <button
        type="submit"
        name="reshape"
        value="add-section"
        class="second"
        formaction={`${action}#field-sections-${nSections}`}
        formnovalidate
      >
        Another part
      </button>
    </>
  );
}

function People({ form, technicians, machines, nPeople, action }: JobFormProps) {
  const reshape = { type: 'submit', name: 'reshape', class: 'second', formaction: `${action}#field-labour` } as const;
  return (
    <fieldset class="group stack" id="field-labour">
      <legend>Who and with what</legend>
      {places(nPeople).map((i) => (
        <div class="row">
          <SelectField
            form={form}
            name={`labour.${i}.technician`}
            label="Technician"
            options={namesOf(technicians)}
            hint={technicians.length === 0 ? nobodyThere : undefined}
            none="choose"
          />
          <NumberField form={form} name={`labour.${i}.minutes`} label="Minutes" />
          {nPeople > 1 && (
            <button {...reshape} value={`labour ${i}`} formnovalidate>
              Take away
            </button>
          )}
        </div>
      ))}
      <button {...reshape} value="add-person" formnovalidate>
        Another person
      </button>
      <SelectField form={form} name="extractor" label="Extractor" options={namesOf(machines)} none="none used" />
    </fieldset>
  );
}

/** Without somebody no job can be stored. */
const nobodyThere = 'Nobody is on the list yet: the owner adds technicians on the page “Technicians”.';

function Water({ form, units }: { form: FormState; units: Units }) {
  const litres = (name: string, label: string) => (
    <QuantityField form={form} name={name} label={label} quantity="litres" units={units} />
  );
  return (
    <fieldset class="group stack">
      <legend>Water, if it was read off</legend>
      <div class="row">
        {litres('tank.cleanBefore', 'Clean tank before')}
        {litres('tank.cleanAfter', 'Clean tank after')}
        {litres('tank.wasteAfter', 'Waste tank after')}
      </div>
      <details open={litresAreOpen(form)}>
        <summary>Refilled, emptied, or litres known</summary>
        <div class="stack">
          <div class="row">
            {litres('tank.refilled', 'Refilled in between')}
            {litres('tank.emptied', 'Emptied in between')}
            {litres('tank.wasteBefore', 'Waste tank before')}
          </div>
          <div class="row">
            {litres('sprayedLitres', 'Sprayed in all')}
            {litres('recoveredLitres', 'Got back in all')}
          </div>
        </div>
      </details>
    </fieldset>
  );
}

/** Whoever mends a job has litres, not tank levels, before them; what was typed and what is wrong is never folded away. */
function litresAreOpen(form: FormState): boolean {
  return seldom.some((name) => form.typed(name) || form.fault(name) !== undefined);
}

const seldom = ['tank.refilled', 'tank.emptied', 'tank.wasteBefore', 'sprayedLitres', 'recoveredLitres'];

function More({ form, units, currency }: { form: FormState; units: Units; currency: string }) {
  return (
    <details open={form.faults.some(({ pointer }) => /^\/(dilution|solutionC|note|drying|quoted)/.test(pointer))}>
      <summary>Solution, drying, quote, note</summary>
      <div class="stack">
        <div class="row">
          <NumberField form={form} name="dilution" label="Water to one part of concentrate" />
          <QuantityField form={form} name="solutionC" label="Solution in the tank" quantity="celsius" units={units} />
        </div>
        <CheckField form={form} name="finalVacuum" label="A last round with the vacuum over everything" />
        <SelectField form={form} name="drying.aid" label="Drying" options={dryingAidOptions} none="not noted" />
        <div class="row">
          <QuantityField form={form} name="drying.airC" label="Air" quantity="celsius" units={units} />
          <NumberField form={form} name="drying.rhPercent" label="Humidity of the air" unit="%" />
          <QuantityField form={form} name="drying.airSpeedMs" label="Air speed" quantity="airSpeedMs" units={units} />
        </div>
        <div class="row">
          <NumberField form={form} name="quoted.hours" label="Hours quoted" unit="h" />
          <NumberField form={form} name="quoted.price" label="Price quoted" unit={currency} />
        </div>
        <input type="hidden" name="quoted.estimate" value={form.typed('quoted.estimate')} />
        <TextAreaField
          form={form}
          name="note"
          label="Note"
          hint="No customer names, plates or vehicle numbers. No forecast reads it."
          maxlength={2000}
        />
      </div>
    </details>
  );
}

function Later({ form, nChecks }: { form: FormState; nChecks: number }) {
  return (
    <details open>
      <summary>Handover, drying checks, comeback</summary>
      <div class="stack">
        <SelectField
          form={form}
          name="outcome.handover"
          label="At the handover"
          options={resultOptions}
          none="not noted"
        />
        <SelectField
          form={form}
          name="outcome.comeback"
          label="Came back with"
          options={comebackOptions}
          none="not noted"
        />
        <SelectField form={form} name="outcome.damage" label="Damage" options={damageOptions} none="not noted" />
        <p class="hint">A check whose hours are emptied is taken out.</p>
        {places(nChecks).map((i) => (
          <div class="row">
            <NumberField form={form} name={`drying.checks.${i}.hours`} label="Checked after" unit="h" />
            <ChoiceField
              form={form}
              name={`drying.checks.${i}.dry`}
              label="It was"
              kind="flag"
              options={[
                ['yes', 'dry'],
                ['no', 'wet'],
              ]}
            />
          </div>
        ))}
      </div>
    </details>
  );
}

function places(n: number): number[] {
  return Array.from({ length: n }, (_, i) => i);
}
