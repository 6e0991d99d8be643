import type { PlannedJobInput } from '../domain/planned.ts';
import { areaWords, wordsFor } from './words.ts';

/** A plan in one line: "sedan, front seats (2) and rear bench, seats taken out". */
export function planInWords({ bodyStyle, sections, seatsRemoved }: PlannedJobInput): string {
  const parts = sections.map(({ area, count }) => areaWords(area, count ?? 1));
  return `${wordsFor(bodyStyle)}, ${listed(parts)}${seatsRemoved ? ', seats taken out' : ''}`;
}

/** "a, b and c" */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}
