import { z } from 'zod';
import type { PagePlace } from '../store/records.ts';

/** A page's place as the opaque text that a client sends back. */
export function cursorOf({ finishedAt, ref }: PagePlace): string {
  return Buffer.from(JSON.stringify([finishedAt.toISOString(), ref])).toString('base64url');
}

/** The place that a cursor names; undefined for a text that is no cursor of ours. */
export function placeAt(cursor: string): PagePlace | undefined {
  try {
    const read = place.safeParse(JSON.parse(Buffer.from(cursor, 'base64url').toString()));
    return read.success ? { finishedAt: new Date(read.data[0]), ref: read.data[1] } : undefined;
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

const place = z.tuple([
  z.iso.datetime().regex(/^[12]/), // the first hours of 2000 were still 1999 in UTC east of it
  z
    .string()
    .max(64)
    .regex(/^[^\0\p{Cs}]*$/u),
]);
