import { z } from 'zod';

/** What a shop, a person or a key is called wherever it is shown. PostgreSQL's text cannot hold every control character. */
export const shownName = z
  .string()
  .trim()
  .min(1)
  .max(120)
  .regex(/^[^\p{Cc}\p{Cs}]*$/u)
  .describe('one line of 1 to 120 characters');
