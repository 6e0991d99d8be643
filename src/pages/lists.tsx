import type { Machine, Technician } from '../domain/lists.ts';
import { grades } from '../domain/vocabulary.ts';
import { byLabels } from './fault-words.ts';
import {
  asTyped,
  CheckField,
  ChoiceField,
  FaultSummary,
  NumberField,
  QuantityField,
  quantityAsTyped,
  TextField,
  TypedIn,
} from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { ChangedField, Shown } from './form-meanwhile.ts';
import type { Formats } from './format.ts';
import { FirstShown, Meanwhile } from './meanwhile.tsx';
import type { Units } from './measures.ts';

interface ListProps<T> {
  readonly list: readonly T[];
  readonly form: FormState;
  readonly formats: Formats;
}

export function Technicians({ list, form, formats }: ListProps<Technician>) {
  return (
    <>
      <p>Those whose work is recorded. Signing in is another matter: that is on the page “People”.</p>
      <EntryList at="/technicians" list={list} formats={formats} />
      <h2>Add a technician</h2>
      <EntryFaults form={form} />
      <TechnicianForm form={form} action="/technicians" />
    </>
  );
}

export function TechnicianForm(props: { form: FormState; action: string; one?: Technician | undefined }) {
  const { form, action, one } = props;
  return (
    <form class="stack" method="post" action={action}>
      {one && <FirstShown shown={technicianShown(one)} />}
      <NameAndKey form={form} one={one} example="ana" />
      <Span form={form} one={one} from="Here since" until="Here until" />
      <button type="submit">{one ? 'Store' : 'Add'}</button>
    </form>
  );
}

export function Machines({ list, form, formats }: ListProps<Machine>) {
  return (
    <>
      <p>
        The extractors. Suction and airflow are in the maker’s papers; with them a machine that has few jobs yet is
        judged better.
      </p>
      <EntryList at="/machines" list={list} formats={formats} />
      <h2>Add a machine</h2>
      <EntryFaults form={form} />
      <MachineForm form={form} formats={formats} action="/machines" />
    </>
  );
}

interface MachineFormProps {
  readonly form: FormState;
  readonly formats: Formats;
  readonly action: string;
  readonly one?: Machine | undefined;
}

export function MachineForm({ form, formats: { units, currency }, action, one }: MachineFormProps) {
  return (
    <form class="stack" method="post" action={action}>
      {one ? <FirstShown shown={machineShown(one, units)} /> : <TypedIn units={units} />}
      <NameAndKey form={form} one={one} example="grey-barrel" />
      <ChoiceField
        form={form}
        name="grade"
        label="Grade"
        hint="As you would rank it yourself: a portable one is entry, one for daily trade standard, a truck mount high."
        options={grades.map((grade) => [grade, grade] as const)}
        initial={one?.grade ?? 'standard'}
        required
      />
      <QuantityField
        form={form}
        name="waterLiftKpa"
        label="Suction, as water lift"
        quantity="kilopascals"
        units={units}
        initial={one?.waterLiftKpa}
      />
      <QuantityField
        form={form}
        name="airflowM3h"
        label="Airflow"
        quantity="airflowM3h"
        units={units}
        initial={one?.airflowM3h}
      />
      <CheckField form={form} name="heated" label="Heats its solution" initial={one?.heated} />
      <NumberField form={form} name="price" label="Price when bought" unit={currency} initial={one?.price} />
      <Span form={form} one={one} from="In use since" until="In use until" />
      <button type="submit">{one ? 'Store' : 'Add'}</button>
    </form>
  );
}

/** What the fields show of one of a list. */
export function technicianShown({ name, from = '', until = '' }: Technician): Shown {
  return { name, from, until };
}

export function machineShown(one: Machine, units: Units): Shown {
  const { name, grade, waterLiftKpa, airflowM3h, heated, price, from = '', until = '' } = one;
  return {
    ...{ name, grade, from, until },
    waterLiftKpa: quantityAsTyped('kilopascals', units, waterLiftKpa) ?? '',
    airflowM3h: quantityAsTyped('airflowM3h', units, airflowM3h) ?? '',
    heated: heated === true ? 'yes' : '',
    price: asTyped(price) ?? '',
  };
}

interface Entry {
  readonly key: string;
  readonly name: string;
  readonly from?: string | undefined;
  readonly until?: string | undefined;
}

/** What is wrong with one of a list, by the labels of its form. */
export function EntryFaults({ form }: { form: FormState }) {
  return <FaultSummary form={byLabels(form, labels)} />;
}

/** What others stored of one of a list since its form was shown. */
export function EntryMeanwhile(props: { changes: readonly ChangedField[]; formats: Formats; href: string }) {
  const { changes, formats, href } = props;
  const said = (name: string, typed: string) => {
    if (name === 'heated') return typed === '' ? 'no' : 'yes';
    return (name === 'from' || name === 'until') && typed !== '' ? formats.day(typed) : undefined;
  };
  return <Meanwhile changes={changes} labels={labels} href={href} said={said} />;
}

const labels = {
  name: 'Name',
  key: 'Short name in records',
  from: 'Since',
  until: 'Until',
  grade: 'Grade',
  waterLiftKpa: 'Suction',
  airflowM3h: 'Airflow',
  heated: 'Heats its solution',
  price: 'Price when bought',
};

function EntryList({ at, list, formats }: { at: string; list: readonly Entry[]; formats: Formats }) {
  if (list.length === 0) return <p>None yet.</p>;
  return (
    <ul class="ways">
      {list.map(({ key, name, until }) => (
        <li>
          <a href={`${at}/${key}`}>
            {name}
            {name !== key && `, ${key}`}
            {until && `, until ${formats.day(until)}`}
          </a>
        </li>
      ))}
    </ul>
  );
}

/** The key stays what it is once records may name it. */
function NameAndKey({ form, one, example }: { form: FormState; one?: Entry | undefined; example: string }) {
  return (
    <>
      <TextField form={form} name="name" label="Name" initial={one?.name} required maxlength={120} />
      {!one && (
        <TextField
          form={form}
          name="key"
          label="Short name in records"
          hint={`Such as ${example}; left empty, it is made from the name. It stays as it is.`}
          maxlength={64}
        />
      )}
    </>
  );
}

function Span(props: { form: FormState; one?: Entry | undefined; from: string; until: string }) {
  const { form, one } = props;
  return (
    <div class="row">
      <TextField form={form} name="from" label={props.from} type="date" initial={one?.from} />
      <TextField form={form} name="until" label={props.until} type="date" initial={one?.until} />
    </div>
  );
}
