import type { Fault } from '../domain/faults.ts';
import type { FormState } from './form-input.ts';
import { measureOf, type Units } from './measures.ts';

/** Faults of the question in the words and units of its form. */
export function upgradeFaultWords(faults: readonly Fault[], form: FormState, units: Units): readonly Fault[] {
  return faults.map((fault) => {
    const name = fault.pointer.slice(1);
    const field = labels[name];
    if (field === undefined) return fault;
    if (name === 'grade' && fault.value === undefined)
      return { ...fault, field, message: 'Choose its grade, or give its suction or airflow' };
    const most = mostOf[name];
    if (most === undefined || !form.typed(name))
      return { ...fault, field, message: fault.message.replace(`${fault.field} is`, `${field} is`) };
    const { unit, fromSi } = measureOf(most.quantity, units);
    const rule = `a number above 0, at most ${Math.round(fromSi(most.si))} ${unit}`;
    return { ...fault, field, message: `${field} is "${form.typed(name)}": ${rule}` };
  });
}

const labels: Readonly<Record<string, string>> = {
  price: 'What it costs',
  grade: 'Its grade',
  waterLiftKpa: 'Suction',
  airflowM3h: 'Airflow',
  replaces: 'The work it takes over',
  lifeMonths: 'How long it lasts',
  jobsPerMonth: 'Jobs a month',
  labourRate: 'What a freed hour is worth',
};

/** The bounds of `upgradeRequest`, which speaks SI. */
const mostOf: Readonly<Record<string, { readonly quantity: 'kilopascals' | 'airflowM3h'; readonly si: number }>> = {
  waterLiftKpa: { quantity: 'kilopascals', si: 100 },
  airflowM3h: { quantity: 'airflowM3h', si: 10_000 },
};
