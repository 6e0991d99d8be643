import type { Fault } from '../domain/faults.ts';
import { measureOf, type Quantity, quantities, type Units } from './measures.ts';

/**
 * A sent form as the value that a schema reads, and as it was typed. A field's name is the path of its value, and
 * after a colon how to read it: `labourRate:number`, `finalVacuum:flag`, `sections.0.stains:list` (several boxes of
 * one name), `sprayedLitres:litres` or another quantity, typed in the shop's units. Without a colon it is text. Where a
 * form says the units that it was shown in (`typedIn`) and the shop has others by now, its quantities are put into those. An
 * empty field is an absent one; what is no number stays text, so that the schema says so at its place. `shown.labourRate`
 * is what that field showed at first (form-meanwhile.ts): it can be asked for as typed, and is no value.
 */
export interface SentForm {
  readonly input: Record<string, unknown>;
  readonly form: FormState;
}

/** What the fields of a form show: what was typed, and what is wrong with it. */
export interface FormState {
  /** As typed; undefined where the form has not been sent. */
  typed(name: string): string | undefined;
  typedAll(name: string): readonly string[] | undefined;
  fault(name: string): Fault | undefined;
  readonly faults: readonly Fault[];
  /** Tells apart the fields of several forms of one kind on a page. */
  readonly scope?: string;
}

export type Kind = 'text' | 'number' | 'flag' | 'list' | Quantity;

/** A form that nobody has sent yet. */
export const freshForm: FormState = {
  typed: () => undefined,
  typedAll: () => undefined,
  fault: () => undefined,
  faults: [],
};

/** The hidden field in which a form says the units that it was shown in: an hour or a day may lie before it is sent. */
export const unitsField = 'typedIn';

export function readForm(fields: Iterable<readonly [string, unknown]>, units: Units): SentForm {
  const typed = new Map<string, string[]>();
  const kinds = new Map<string, Kind>();
  for (const [full, value] of fields) {
    const [name = '', kind = 'text'] = full.split(':');
    if (typeof value !== 'string' || !pathForm.test(name) || !isKind(kind)) continue;
    typed.set(name, [...(typed.get(name) ?? []), value]);
    kinds.set(name, kind);
  }
  const then = unitsNamed(typed.get(unitsField)?.[0]) ?? units;
  typed.delete(unitsField);
  if (then !== units)
    for (const [name, texts] of typed)
      typed.set(
        name,
        texts.map((text) => converted(text, kinds.get(name) ?? 'text', then, units)),
      );
  const input: Record<string, unknown> = {};
  for (const [name, texts] of typed) {
    const value = name.startsWith('shown.') ? undefined : readTexts(texts, kinds.get(name) ?? 'text', units);
    if (value !== undefined) place(input, name.split('.'), value);
  }
  return { input, form: stateOf(typed, []) };
}

/** The same form, with what is wrong with it. */
export function withFaults(form: FormState, faults: readonly Fault[]): FormState {
  return { ...form, faults, fault: (name) => faults.find(({ pointer }) => pointer === pointerOfName(name)) };
}

/** A name begins with a letter and has no more than letters and digits: no way to an object's own workings. */
const pathForm = /^[A-Za-z][A-Za-z0-9-]*(\.([A-Za-z][A-Za-z0-9-]*|\d{1,2}))*$/;

function unitsNamed(text: string | undefined): Units | undefined {
  return text === 'si' || text === 'us' ? text : undefined;
}

function converted(text: string, kind: Kind, then: Units, now: Units): string {
  const number = numberOf(text.trim());
  if (!isQuantity(kind) || number === undefined) return text;
  return asDigits(measureOf(kind, now).fromSi(measureOf(kind, then).toSi(number)));
}

function isQuantity(kind: Kind): kind is Quantity {
  return quantities.some((quantity) => quantity === kind);
}

/** As a field takes them: neither the tail that unit factors leave nor an exponent. */
function asDigits(value: number): string {
  return String(Number(value.toFixed(6)));
}

function isKind(text: string): text is Kind {
  return ['text', 'number', 'flag', 'list', ...quantities].includes(text);
}

function stateOf(typed: ReadonlyMap<string, readonly string[]>, faults: readonly Fault[]): FormState {
  const state: FormState = {
    typed: (name) => typed.get(name)?.[0] ?? '',
    typedAll: (name) => typed.get(name) ?? [],
    fault: () => undefined,
    faults: [],
  };
  return withFaults(state, faults);
}

function readTexts(texts: readonly string[], kind: Kind, units: Units): unknown {
  const text = texts[0]?.trim() ?? '';
  if (kind === 'list') return texts.filter((one) => one !== '');
  if (text === '') return undefined;
  if (kind === 'text') return text;
  if (kind === 'flag') return text === 'yes' ? true : text === 'no' ? false : text;
  const number = numberOf(text);
  if (number === undefined) return text;
  return kind === 'number' ? number : measureOf(kind, units).toSi(number);
}

/** A point or a comma before the decimals; nothing between thousands. */
function numberOf(text: string): number | undefined {
  return /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(text) ? Number(text.replace(',', '.')) : undefined;
}

function place(root: Record<string, unknown>, path: readonly string[], value: unknown): void {
  let at: Record<string, unknown> | unknown[] = root;
  path.forEach((step, i) => {
    const key = Array.isArray(at) ? Number(step) : step;
    const next = path[i + 1];
    if (next === undefined) Reflect.set(at, key, value);
    else if (!Object.hasOwn(at, key)) Reflect.set(at, key, /^\d/.test(next) ? [] : {});
    const below: unknown = Reflect.get(at, key);
    if (isBranch(below)) at = below;
  });
}

function isBranch(value: unknown): value is Record<string, unknown> | unknown[] {
  return typeof value === 'object' && value !== null;
}

function pointerOfName(name: string): string {
  return `/${name.replaceAll('.', '/')}`;
}
