import type { LevelTerm } from './level-words.ts';

/** A tenth longer, as a logarithm: less changes no forecast that anybody would notice. */
const worthTelling = 0.1;

/** That nights dry more slowly here, from the terms of a fit's summary of drying; undefined where not all of the range is worth telling. */
export function nightInWords(terms: readonly LevelTerm[]): string | undefined {
  const log = terms.find(({ term }) => term === 'night');
  if (log === undefined || log.p05 < worthTelling) return undefined;
  const hours = (value: number) => Math.exp(value).toFixed(1);
  return `Nights, from 18:00 to 8:00, dry more slowly here: what takes an hour by day takes ${hours(log.p50)} hours at night (90 % range ${hours(log.p05)} to ${hours(log.p95)}).`;
}
