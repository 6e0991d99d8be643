import { z } from 'zod';
import { shopSettings } from './shop-settings.ts';
import { shownName } from './shown-name.ts';

/** A zone that this runtime can reckon in, under its IANA name. */
const timeZone = z.string().refine(isTimeZone, 'not a time zone here: an IANA name such as Europe/London is needed');

/** What is needed to open a shop. */
export const newShop = z.strictObject({
  name: shownName,
  timeZone,
  settings: shopSettings.prefault({}),
  /** Made up for a demonstration, and said so wherever it is shown. */
  invented: z.boolean().default(false),
});

export type NewShop = z.input<typeof newShop>;
export type Shop = z.output<typeof newShop> & { readonly shopId: string; readonly createdAt: Date };

function isTimeZone(name: string): boolean {
  try {
    return (
      new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone.length > 0 && /^[A-Z]/.test(name)
    );
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}
