import { type FormState, withFaults } from './form-input.ts';

/** The same form, its faults by what stands at the fields: "Price of one hour of work is …" for "labourRate is …". */
export function byLabels(form: FormState, labels: Readonly<Record<string, string>>): FormState {
  const faults = form.faults.map((fault) => {
    const label = labels[fault.pointer.slice(1)];
    if (label === undefined || !fault.message.startsWith(`${fault.field} `)) return fault;
    return { ...fault, field: label, message: label + fault.message.slice(fault.field.length) };
  });
  return withFaults(form, faults);
}
