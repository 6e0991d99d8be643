import { z } from 'zod';

/** What a field may hold, read from the schema itself so that no message can drift from the rule. */
export interface Allowed {
  /** In words, such as `a number from 0 to 100`. */
  readonly text: string;
  /** The values of a closed list. */
  readonly values?: readonly string[];
  /** The fields of an object. */
  readonly fields?: readonly string[];
}

/** What the place at `path` in `schema` may hold; undefined where the schema has no such place. */
export function allowedAt(schema: z.ZodType, path: readonly PropertyKey[]): Allowed | undefined {
  let node: Node | undefined = jsonSchemaOf(schema);
  for (const step of path) node = typeof step === 'number' ? node?.items : child(node, String(step));
  return node && describe(node);
}

/** The part of JSON Schema that our schemas use. */
interface Node {
  readonly type?: string;
  readonly description?: string;
  readonly format?: string;
  readonly enum?: readonly string[];
  readonly const?: unknown;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly exclusiveMinimum?: number;
  readonly exclusiveMaximum?: number;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly items?: Node;
  readonly properties?: Readonly<Record<string, Node>>;
  readonly additionalProperties?: Node | boolean;
  readonly anyOf?: readonly Node[];
}

const cache = new WeakMap<z.ZodType, Node>();

function jsonSchemaOf(schema: z.ZodType): Node {
  const known = cache.get(schema);
  if (known) return known;
  // The border to zod's own, wider, type of a JSON Schema.
  const made = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any', target: 'draft-2020-12' }) as Node;
  cache.set(schema, made);
  return made;
}

function child(node: Node | undefined, key: string): Node | undefined {
  if (node?.properties && Object.hasOwn(node.properties, key)) return node.properties[key];
  return typeof node?.additionalProperties === 'object' ? node.additionalProperties : undefined;
}

function describe(node: Node): Allowed {
  if (node.enum) return { text: `one of ${node.enum.join(', ')}`, values: node.enum };
  if (node.properties) return { text: 'an object', fields: Object.keys(node.properties) };
  if (node.anyOf) return { text: node.anyOf.map((option) => describe(option).text).join(', or ') };
  return { text: node.const === undefined ? inWords(node) : JSON.stringify(node.const) };
}

function inWords(node: Node): string {
  if (node.type === 'number') return `a number ${range(node)}`.trimEnd();
  if (node.type === 'integer') return `a whole number ${range(node)}`.trimEnd();
  if (node.type === 'boolean') return 'true or false';
  if (node.type === 'array') return `a list of ${between(node.minItems, node.maxItems)}`;
  if (node.type === 'string') return node.description ?? text(node);
  return node.type ?? node.description ?? 'a value that the rule allows';
}

/** zod bounds whole numbers by what a double can hold: no bound worth telling. */
function range({ minimum, maximum, exclusiveMinimum, exclusiveMaximum }: Node): string {
  const low = minimum === Number.MIN_SAFE_INTEGER ? undefined : minimum;
  const high = maximum === Number.MAX_SAFE_INTEGER ? undefined : maximum;
  const below = exclusiveMaximum === undefined ? '' : ` and below ${exclusiveMaximum}`;
  if (exclusiveMinimum !== undefined)
    return `above ${exclusiveMinimum}${high === undefined ? below : ` up to ${high}`}`;
  if (low !== undefined) return high === undefined ? `of at least ${low}` : `from ${low} to ${high}`;
  return high === undefined ? '' : `up to ${high}`;
}

function between(low = 0, high = Number.POSITIVE_INFINITY): string {
  if (high === Number.POSITIVE_INFINITY) return low === 0 ? 'any length' : `${low} or more`;
  return low === 0 ? `at most ${high}` : `${low} to ${high}`;
}

function text({ format, minLength, maxLength }: Node): string {
  if (format === 'date-time') return 'a time with its offset (RFC 3339), such as 2026-03-14T16:05:00+01:00';
  if (format === 'date') return 'a day, such as 2026-03-14';
  if (format === 'uuid') return 'a UUID';
  if (minLength === undefined && maxLength === undefined) return 'text';
  return `text of ${between(minLength, maxLength)} characters`;
}
