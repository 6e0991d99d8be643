import type { Formats } from './format.ts';
import { monthName } from './trust-words.ts';

/** A sentence of insight with its months and days as people say them: "2025-03" is "Mar 2025", "2025-03-04" "4 March 2025". */
export function datesInWords(text: string, formats: Formats): string {
  return text.replace(/\b(\d{4}-(?:0[1-9]|1[0-2]))(-\d{2})?\b/g, (all, month: string, day?: string) =>
    day === undefined ? monthName(month) : formats.day(all),
  );
}
