/** Form fields: each with its label, a hint, what was typed, and what is wrong with it. */
import type { Child } from 'hono/jsx';
import type { Fault } from '../domain/faults.ts';
import { type FormState, unitsField } from './form-input.ts';
import { measureOf, type Quantity, type Units } from './measures.ts';
import { capital } from './words.ts';

interface FieldProps {
  readonly form: FormState;
  /** The path of the value, as in {@link FormState}. */
  readonly name: string;
  readonly label: string;
  readonly hint?: string | undefined;
  readonly required?: boolean;
}

interface TextProps extends FieldProps {
  readonly initial?: string | undefined;
  readonly type?: 'text' | 'password' | 'date' | 'datetime-local' | 'search';
  readonly autocomplete?: string;
  readonly maxlength?: number;
}

export function TextField({ type = 'text', initial, autocomplete, maxlength, ...field }: TextProps) {
  const { form, name, required } = field;
  const value = type === 'password' ? undefined : (form.typed(name) ?? initial);
  const plain = autocomplete === 'username' || type === 'password';
  return (
    <Labelled {...field}>
      <input
        {...wiring(field)}
        type={type}
        name={name}
        value={value}
        required={required}
        maxlength={maxlength}
        autocomplete={autocomplete ?? 'off'}
        autocapitalize={plain ? 'none' : undefined}
        spellcheck={plain ? false : undefined}
      />
    </Labelled>
  );
}

/** Text of several lines. */
export function TextAreaField({ initial, maxlength, ...field }: Omit<TextProps, 'type' | 'autocomplete'>) {
  const { form, name, required } = field;
  return (
    <Labelled {...field}>
      <textarea {...wiring(field)} name={name} rows={3} required={required} maxlength={maxlength} autocomplete="off">
        {form.typed(name) ?? initial}
      </textarea>
    </Labelled>
  );
}

interface NumberProps extends FieldProps {
  readonly initial?: number | undefined;
  /** What stands behind the number: "h", "€". */
  readonly unit?: string;
  readonly digits?: number;
}

/** A plain number. Not `type=number`: that one throws away what it does not understand, and turns under a wheel. */
export function NumberField({ initial, unit, digits, ...field }: NumberProps) {
  const shown = field.form.typed(field.name) ?? asTyped(initial, digits);
  return <Decimal field={field} kind="number" shown={shown} unit={unit} />;
}

interface QuantityProps extends FieldProps {
  readonly quantity: Quantity;
  readonly units: Units;
  /** In SI, as stored. */
  readonly initial?: number | undefined;
}

/** A small whole number, with a button to either side where scripts run (steppers.js). */
export function StepperField({ initial, ...field }: FieldProps & { readonly initial?: number | undefined }) {
  const { form, name } = field;
  const step = (by: 1 | -1, says: string) => (
    <button type="button" class="second step" data-step={by} aria-label={`${field.label}: ${says}`}>
      {by > 0 ? '+' : '−'}
    </button>
  );
  return (
    <Labelled {...field}>
      <div class="stepper">
        {step(-1, 'one less')}
        <input
          {...wiring(field)}
          type="text"
          inputmode="numeric"
          name={`${name}:number`}
          value={form.typed(name) ?? asTyped(initial)}
          required={field.required}
          autocomplete="off"
        />
        {step(1, 'one more')}
      </div>
    </Labelled>
  );
}

interface BoxesProps extends FieldProps {
  readonly options: readonly (readonly [value: string, label: string])[];
  readonly initial?: readonly string[];
}

/** Several of a list, or none. */
export function BoxesField({ options, initial = [], ...field }: BoxesProps) {
  const { form, name } = field;
  const chosen = form.typedAll(name) ?? initial;
  return (
    <Choices {...field}>
      {options.map(([value, text]) => (
        <label>
          <input type="checkbox" name={`${name}:list`} value={value} checked={chosen.includes(value)} />
          <span>{text}</span>
        </label>
      ))}
    </Choices>
  );
}

/** A number in the shop's units; read back in SI. */
export function QuantityField({ quantity, units, initial, ...field }: QuantityProps) {
  const shown = field.form.typed(field.name) ?? quantityAsTyped(quantity, units, initial);
  return <Decimal field={field} kind={quantity} shown={shown} unit={measureOf(quantity, units).unit} />;
}

/** In a form with quantities: the units that they are typed in, whatever the shop's are by the time it is sent. */
export function TypedIn({ units }: { units: Units }) {
  return <input type="hidden" name={unitsField} value={units} />;
}

/** What stands in the field of a stored quantity until somebody types: fewer digits than it may have. */
export function quantityAsTyped(quantity: Quantity, units: Units, si: number | undefined): string | undefined {
  const { digits, fromSi } = measureOf(quantity, units);
  return si === undefined ? undefined : asTyped(fromSi(si), digits + 1);
}

interface SelectProps extends FieldProps {
  readonly options: readonly (readonly [value: string, label: string])[];
  readonly initial?: string | undefined;
  /** The label of choosing none; without it one has to be chosen. */
  readonly none?: string;
}

export function SelectField({ options, initial, none, ...field }: SelectProps) {
  const chosen = field.form.typed(field.name) ?? initial;
  return (
    <Labelled {...field}>
      <select {...wiring(field)} name={field.name} required={field.required}>
        {none !== undefined && <option value="">{none}</option>}
        {options.map(([value, label]) => (
          <option value={value} selected={value === chosen}>
            {label}
          </option>
        ))}
      </select>
    </Labelled>
  );
}

interface ChoiceProps extends Omit<SelectProps, 'none'> {
  /** How the choice is read, where not as text. */
  readonly kind?: 'flag';
}

/** A few answers side by side, each a large target. */
export function ChoiceField({ options, initial, kind, ...field }: ChoiceProps) {
  const { form, name, required } = field;
  const chosen = form.typed(name) ?? initial;
  return (
    <Choices {...field}>
      {options.map(([value, text]) => (
        <label>
          <input
            type="radio"
            name={kind ? `${name}:${kind}` : name}
            value={value}
            checked={value === chosen}
            required={required}
          />
          <span>{text}</span>
        </label>
      ))}
    </Choices>
  );
}

/** The frame of answers that stand side by side. */
function Choices({ children, ...field }: FieldProps & { readonly children?: Child }) {
  const { form, name, label, hint } = field;
  const wrong = form.fault(name);
  return (
    <fieldset class="field choice" id={idOf(form, name)} aria-describedby={described(field)}>
      <legend>{label}</legend>
      {hint && <Hint id={idOf(form, name)} hint={hint} />}
      {wrong && <Wrong id={idOf(form, name)} fault={wrong} />}
      <div class="choices">{children}</div>
    </fieldset>
  );
}

interface CheckProps extends FieldProps {
  readonly initial?: boolean | undefined;
}

/** Yes or nothing; read as a flag. */
export function CheckField({ form, name, label, hint, initial }: CheckProps) {
  const sent = form.typed(name);
  const checked = sent === undefined ? initial === true : sent === 'yes';
  return (
    <div class="field check">
      <label>
        <input id={idOf(form, name)} type="checkbox" name={`${name}:flag`} value="yes" checked={checked} />
        <span>{label}</span>
      </label>
      {hint && <Hint id={idOf(form, name)} hint={hint} />}
    </div>
  );
}

/** Ahead of a form that could not be taken: everything that is wrong, each a way to its field. */
export function FaultSummary({ form }: { form: FormState }) {
  if (form.faults.length === 0) return null;
  return (
    <div class="faults" role="alert" tabindex={-1}>
      <p>
        {form.faults.length === 1 ? 'One thing is to be mended:' : `${form.faults.length} things are to be mended:`}
      </p>
      <ul>
        {form.faults.map((fault) => (
          <li>
            {fault.pointer === '' ? (
              fault.message
            ) : (
              <a href={`#${idOfPointer(form, fault.pointer)}`}>{fault.message}</a>
            )}
          </li>
        ))}
      </ul>
    </div>
  );
}

function Decimal(props: { field: FieldProps; kind: string; shown: string | undefined; unit: string | undefined }) {
  const { field, kind, shown, unit } = props;
  return (
    <Labelled {...field} unit={unit}>
      <input
        {...wiring(field)}
        type="text"
        inputmode="decimal"
        name={`${field.name}:${kind}`}
        value={shown}
        required={field.required}
        autocomplete="off"
      />
    </Labelled>
  );
}

function Labelled({
  form,
  name,
  label,
  hint,
  unit,
  children,
}: FieldProps & { unit?: string | undefined; children?: Child }) {
  const wrong = form.fault(name);
  return (
    <div class={wrong ? 'field is-wrong' : 'field'}>
      <label for={idOf(form, name)}>{unit ? `${label} (${unit})` : label}</label>
      {hint && <Hint id={idOf(form, name)} hint={hint} />}
      {wrong && <Wrong id={idOf(form, name)} fault={wrong} />}
      {children}
    </div>
  );
}

function Hint({ id, hint }: { id: string; hint: string }) {
  return (
    <p class="hint" id={`${id}-hint`}>
      {hint}
    </p>
  );
}

/** The fault without the field's inside name, which its label says better. */
function Wrong({ id, fault }: { id: string; fault: Fault }) {
  const { field, message } = fault;
  const said = field !== '' && message.startsWith(`${field} `) ? message.slice(field.length + 1) : message;
  return (
    <p class="wrong" id={`${id}-wrong`}>
      {capital(said)}
    </p>
  );
}

function wiring(field: FieldProps) {
  return {
    id: idOf(field.form, field.name),
    'aria-describedby': described(field),
    'aria-invalid': field.form.fault(field.name) ? ('true' as const) : undefined,
  };
}

function described({ form, name, hint }: FieldProps): string | undefined {
  const id = idOf(form, name);
  const ids = [hint && `${id}-hint`, form.fault(name) && `${id}-wrong`].filter((one) => one);
  return ids.length > 0 ? ids.join(' ') : undefined;
}

function idOf({ scope }: FormState, name: string): string {
  return `field-${scope ? `${scope}-` : ''}${name.replaceAll('.', '-')}`;
}

function idOfPointer(form: FormState, pointer: string): string {
  return idOf(form, pointer.slice(1).replaceAll('/', '.'));
}

/** A number as one would type it: no grouping, no zeros at the end. */
export function asTyped(value: number | undefined, digits = 3): string | undefined {
  return value === undefined ? undefined : String(Number(value.toFixed(digits)));
}
