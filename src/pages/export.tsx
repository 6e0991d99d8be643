import { ChoiceField, FaultSummary, TextField } from './fields.tsx';
import type { FormState } from './form-input.ts';

/** Everything that the shop has recorded, to take away. */
export function ExportPage({ form, jobs }: { form: FormState; jobs: string }) {
  return (
    <>
      <p>
        {jobs} Your records are yours: the files hold every field, and the same file can be taken in again, here or in
        another shop, without a change.
      </p>
      <h2>Finished jobs</h2>
      <FaultSummary form={form} />
      <form class="stack" method="get" action="/export/records">
        <ChoiceField
          form={form}
          name="form"
          label="As"
          hint="CSV opens in a spreadsheet, one row a section; NDJSON is for programs, one job a line."
          options={[
            ['csv', 'CSV'],
            ['ndjson', 'NDJSON'],
          ]}
          initial="csv"
          required
        />
        <div class="row">
          <TextField form={form} name="from" label="Finished from" type="date" />
          <TextField form={form} name="to" label="Finished up to" type="date" hint="This day included; empty is all." />
        </div>
        <button type="submit">Download the jobs</button>
      </form>
      <h2>The shop’s lists</h2>
      <p>As JSON, in the form in which the interface for programs takes them.</p>
      <ul class="ways">
        <li>
          <a href="/export/technicians.json" download>
            Technicians
          </a>
        </li>
        <li>
          <a href="/export/machines.json" download>
            Machines
          </a>
        </li>
      </ul>
    </>
  );
}
