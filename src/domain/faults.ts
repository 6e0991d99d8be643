import type { z } from 'zod';
import { type Allowed, allowedAt } from './allowed.ts';
import { nearest } from './suggestion.ts';

/** One thing wrong with what came: where, what came, and what is allowed there. */
export interface Fault {
  /** JSON pointer (RFC 6901): `/sections/0/soil`; empty for the whole. */
  readonly pointer: string;
  /** The same place as people write it: `sections[0].soil`. */
  readonly field: string;
  /** What came, where it is short enough to repeat. */
  readonly value?: unknown;
  readonly message: string;
  /** The values of a closed list. */
  readonly allowed?: readonly string[];
}

export type Path = readonly PropertyKey[];
export type Reading<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly faults: readonly Fault[] };

/** Reads `input` by `schema`: the value, or all faults at once. */
export function readBy<S extends z.ZodType>(schema: S, input: unknown): Reading<z.output<S>> {
  const parsed = schema.safeParse(input);
  if (parsed.success) return { ok: true, value: parsed.data };
  return { ok: false, faults: faultsOf(parsed.error, input, schema) };
}

/** All faults of a failed parse, one a field; with the schema each says what the field may hold. */
export function faultsOf(error: z.ZodError, input: unknown, schema?: z.ZodType): Fault[] {
  const faults = new Map<string, Fault>();
  for (const issue of error.issues) {
    for (const fault of fromIssue(issue, input, schema)) {
      if (!faults.has(fault.pointer)) faults.set(fault.pointer, fault);
    }
    if (faults.size > mostFaults) break;
  }
  return withinReason([...faults.values()]);
}

/** A fault of a rule: `rule` says what is allowed, after the field and what came. */
export function fault(path: Path, value: unknown, rule: string, allowed?: readonly string[]): Fault {
  const field = fieldOf(path);
  const came = value === undefined ? 'is missing' : `is ${shown(value)}`;
  return { ...placed(path), ...echoed(value), message: `${field} ${came}: ${rule}`, ...(allowed ? { allowed } : {}) };
}

/** A fault whose message is a sentence of its own. */
export function faultSaying(path: Path, message: string): Fault {
  return { ...placed(path), message };
}

/** A hundred faults are enough to mend; the rest is counted. */
export function withinReason(faults: readonly Fault[]): Fault[] {
  if (faults.length <= mostFaults) return [...faults];
  const more = 'more is wrong than is listed here; mend these first';
  return [...faults.slice(0, mostFaults), { pointer: '', field: '', message: more }];
}

function pointerOf(path: Path): string {
  return path.map((step) => `/${clipped(String(step)).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');
}

/** A value as a message repeats it: short, on one line, lists and objects by their kind alone. */
export function shown(value: unknown): string {
  if (typeof value === 'string') return JSON.stringify(clipped(value));
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object' && value !== null) return 'an object';
  return String(value);
}

const mostFaults = 100;
const longestEcho = 60;

function fromIssue(issue: z.core.$ZodIssue, input: unknown, schema: z.ZodType | undefined): Fault[] {
  const allowed = schema && allowedAt(schema, issue.path);
  if (issue.code === 'unrecognized_keys')
    return issue.keys.slice(0, mostFaults + 1).map((key) => unknownField([...issue.path, key], key, allowed?.fields));
  const value = valueAt(input, issue.path);
  return [fault(issue.path, value, rule(issue, value, allowed), allowed?.values ?? valuesOf(issue))];
}

function rule(issue: z.core.$ZodIssue, value: unknown, allowed: Allowed | undefined): string {
  if (issue.code === 'custom') return issue.message;
  const values = allowed?.values ?? valuesOf(issue);
  const text = allowed?.text ?? (values ? `one of ${values.join(', ')}` : issue.message);
  const meant = values && typeof value === 'string' ? nearest(value, values) : undefined;
  return meant === undefined ? text : `${text}; did you mean ${meant}?`;
}

function unknownField(path: Path, key: string, fields: readonly string[] | undefined): Fault {
  const meant = fields && nearest(key, fields);
  const way = meant === undefined ? '' : `; did you mean ${meant}?`;
  return { ...placed(path), message: `${fieldOf(path)}: not a field here${way}` };
}

function valuesOf(issue: z.core.$ZodIssue): string[] | undefined {
  return issue.code === 'invalid_value' ? issue.values.map(String) : undefined;
}

function valueAt(input: unknown, path: Path): unknown {
  let value = input;
  for (const step of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, step)) return undefined;
    value = Reflect.get(value, step);
  }
  return value;
}

function placed(path: Path): Pick<Fault, 'pointer' | 'field'> {
  return { pointer: pointerOf(path), field: fieldOf(path) };
}

function fieldOf(path: Path): string {
  if (path.length === 0) return 'this';
  const steps = path.map((step) => (typeof step === 'number' ? `[${step}]` : `.${oneLine(clipped(String(step)))}`));
  return steps.join('').replace(/^\./, '');
}

function echoed(value: unknown): Pick<Fault, 'value'> {
  if (typeof value === 'string') return { value: clipped(value) };
  if (typeof value === 'number') return { value: Number.isFinite(value) ? value : String(value) };
  return typeof value === 'boolean' || value === null ? { value } : {};
}

/** Lone surrogates go: an answer has to be good UTF-8 whatever came in. */
function clipped(text: string): string {
  const short = text.length > longestEcho ? `${text.slice(0, longestEcho)}…` : text;
  return short.replace(/\p{Surrogate}/gu, '\uFFFD');
}

function oneLine(text: string): string {
  return text.replace(/\p{Cc}/gu, ' ');
}
