import { z } from 'zod';
import { type FinishedJob, finishedJob } from './record.ts';

/** A record with its fields in the schema's order, whatever order they came in or the database gave them back in. */
export function inSchemaOrder(record: FinishedJob): FinishedJob {
  return inOrder(record) as FinishedJob; // the same fields, only in order
}

type Arrange = (value: unknown) => unknown;

const inOrder = arranger(finishedJob);

/** Built once from the schema: a function that copies a value of that schema with its keys in order. */
function arranger(schema: z.ZodType): Arrange {
  if (schema instanceof z.ZodOptional || schema instanceof z.ZodDefault || schema instanceof z.ZodNullable)
    return arranger(schema.unwrap() as z.ZodType); // zod types what it wraps as its core type
  if (schema instanceof z.ZodArray) return listArranger(arranger(schema.element as z.ZodType));
  return schema instanceof z.ZodObject ? objectArranger(schema) : (value) => value;
}

function listArranger(element: Arrange): Arrange {
  return (value) => (Array.isArray(value) ? value.map(element) : value);
}

function objectArranger(schema: z.ZodObject): Arrange {
  const fields = Object.entries(schema.shape).map(([key, field]) => [key, arranger(field as z.ZodType)] as const);
  return (value) => {
    if (typeof value !== 'object' || value === null) return value;
    const arranged: Record<string, unknown> = {};
    for (const [key, arrange] of fields) {
      const part: unknown = Reflect.get(value, key);
      if (part !== undefined) arranged[key] = arrange(part);
    }
    return arranged;
  };
}
