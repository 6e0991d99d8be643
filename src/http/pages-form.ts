import type { z } from 'zod';
import { type Fault, readBy } from '../domain/faults.ts';
import { type FormState, readForm, type SentForm, withFaults } from '../pages/form-input.ts';
import { formOf } from './form-of.ts';
import type { PageContext } from './pages-env.ts';

export type FormReading<T> =
  | { readonly ok: true; readonly value: T; readonly form: FormState }
  | { readonly ok: false; readonly form: FormState };

/** The sent form, read in the units of the shop. */
export async function sentForm(c: PageContext): Promise<SentForm> {
  return readForm((await formOf(c)).entries(), c.get('formats').units);
}

/** The form of an address: what stands behind its question mark. */
export function askedForm(c: PageContext): SentForm {
  return readForm(new URL(c.req.url).searchParams, c.get('formats').units);
}

/** The sent form by a schema: its value, or the form with every fault at its field. `more` are rules beside the schema's. */
export async function formBy<S extends z.ZodType>(
  c: PageContext,
  schema: S,
  more: (value: z.output<S>) => readonly Fault[] = () => [],
): Promise<FormReading<z.output<S>>> {
  const { input, form } = await sentForm(c);
  const read = readBy(schema, input);
  if (!read.ok) return { ok: false, form: withFaults(form, read.faults) };
  const faults = more(read.value);
  return faults.length > 0 ? { ok: false, form: withFaults(form, faults) } : { ok: true, value: read.value, form };
}
