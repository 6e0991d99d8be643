import { z } from 'zod';
import { listKey } from './record.ts';
import { shownName } from './shown-name.ts';
import { roles } from './vocabulary.ts';

/** Typed at every sign-in, often on a phone: short, and the same in capitals. */
export const signInName = z
  .string()
  .trim()
  .toLowerCase()
  .regex(/^[a-z0-9][a-z0-9._-]{1,39}$/)
  .describe('2 to 40 letters, digits, dots, dashes or underscores, the first a letter or digit');

/** Long enough that guessing through the sign-in page is hopeless; long sentences are welcome. */
export const password = z
  .string()
  .min(10)
  .max(200)
  .refine((text) => new Set(text).size >= 4, 'too simple: use more than three different characters')
  .describe('10 to 200 characters');

/** Someone who is to sign in to the pages. `technician`: who that is in the shop's list, where it is one of them. */
export const newPerson = z.strictObject({
  name: shownName,
  signInName,
  role: z.enum(roles),
  technician: listKey.optional(),
});

export type NewPerson = z.output<typeof newPerson>;

export interface Person extends NewPerson {
  readonly personId: string;
  /** False until the person has followed the invitation. */
  readonly hasPassword: boolean;
  readonly leftAt: Date | null;
}
