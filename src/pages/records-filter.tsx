import { FaultSummary, SelectField, TextField } from './fields.tsx';
import type { FormState } from './form-input.ts';
import type { ShopLists } from './records-words.ts';
import { fabricOptions, namesOf, soilOptions } from './words.ts';

/** Which jobs are to be listed. Asked by address, so that a list can be kept and sent. */
export function RecordFilterForm({ form, lists }: { form: FormState; lists: ShopLists }) {
  const chosen = finer.filter((name) => (form.typed(name) ?? '') !== '').length;
  return (
    <search>
      <form class="filter" method="get" action="/records">
        <FaultSummary form={form} />
        <div class="row">
          <TextField form={form} name="words" label="Job number, or parts of it" type="search" maxlength={100} />
          <button type="submit">Find</button>
        </div>
        <details open={form.faults.some(({ pointer }) => finer.includes(pointer.slice(1)))}>
          <summary>By day, people, machine or cloth{chosen > 0 && `: ${chosen} chosen`}</summary>
          <div class="row">
            <TextField form={form} name="from" label="Finished from" type="date" />
            <TextField form={form} name="to" label="Finished until" type="date" />
            <SelectField
              form={form}
              name="technician"
              label="Technician"
              options={namesOf(lists.technicians)}
              none="anybody"
            />
            <SelectField form={form} name="extractor" label="Extractor" options={namesOf(lists.machines)} none="any" />
            <SelectField form={form} name="fabric" label="Fabric" options={fabricOptions} none="any" />
            <SelectField
              form={form}
              name="soil"
              label="Soil"
              hint="With a fabric: one part has both."
              options={soilOptions}
              none="any"
            />
          </div>
          <div class="row">
            <button type="submit" class="second">
              Find
            </button>
            <a href="/records">All jobs again</a>
          </div>
        </details>
      </form>
    </search>
  );
}

const finer = ['from', 'to', 'technician', 'extractor', 'fabric', 'soil'];
