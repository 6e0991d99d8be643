import type { ModelName } from '../domain/doubts.ts';
import { changeOf } from '../models/layout.ts';
import type { Range } from './range.ts';

/** What a fit made of a change: how jobs before the month stand to those since, as a logarithm, with its 90 % range. */
export function levelInWords(model: ModelName, month: string, log: Range): string {
  const { what, more, less } = words[model];
  const percent = (value: number) => Math.round(100 * (Math.exp(value) - 1));
  const signed = (value: number) => `${Math.abs(percent(value))} % ${value < 0 ? less : more}`;
  if (log.p05 < 0 && log.p95 > 0)
    return `Since ${month} the fit leaves room for another level of its own, and finds none beyond doubt: ${what} before then count as ${signed(log.p50)} (90 % range ${signed(log.p05)} to ${signed(log.p95)}). What changed then lies in what the figure is reckoned from.`;
  const [low, high] = [log.p05, log.p95].map((value) => Math.abs(percent(value))).sort((a, b) => a - b);
  return `Since ${month} the fit reckons with another level: ${what} before then count as ${signed(log.p50)} (90 % range ${low} to ${high} %).`;
}

/** The same of every change that a fit reckons with, from the terms of one model's summary. */
export function levelsInWords(model: ModelName, terms: readonly (Range & { readonly term: string })[]): string[] {
  return terms.flatMap((one) => {
    const month = changeOf(one.term);
    return month === undefined ? [] : levelInWords(model, month, one);
  });
}

const words: Readonly<Record<ModelName, { readonly what: string; readonly more: string; readonly less: string }>> = {
  passes: { what: 'sections', more: 'more effort to get clean', less: 'less effort to get clean' },
  labour: { what: 'jobs', more: 'slower', less: 'quicker' },
  water: { what: 'jobs', more: 'wetter', less: 'less wet' },
  drying: { what: 'jobs', more: 'slower to dry', less: 'quicker to dry' },
};
