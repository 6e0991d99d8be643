import type { ModelName } from '../domain/doubts.ts';
import { changeOf, stepOf } from '../models/layout.ts';
import type { Range } from './range.ts';

/** What a fit made of a change: how jobs before the month stand to those since, as a logarithm, with its 90 % range. */
export function levelInWords(model: ModelName, month: string, log: Range): string {
  const { what } = words[model];
  const signed = (value: number) => inPercent(model, value);
  if (log.p05 < 0 && log.p95 > 0)
    return `Since ${month} the fit leaves room for another level of its own, and finds none beyond doubt: ${what} before then count as ${signed(log.p50)} (90 % range ${signed(log.p05)} to ${signed(log.p95)}). What changed then lies in what the figure is reckoned from.`;
  return `Since ${month} the fit reckons with another level: ${what} before then count as ${signed(log.p50)} (90 % range ${rangeInPercent(log)}).`;
}

/** How jobs before the latest half-year stand to those since, as a logarithm with its 90 % range. */
interface Creep {
  readonly month: string;
  readonly log: Range;
}

/** Two per cent in half a year. With any figure beyond doubt told, 10 of 39 invented shops in which nothing changed were told of one. */
const worthTelling = 0.02;

/** That of one model's terms, where all of its range is worth telling. */
export function latestCreep(terms: readonly LevelTerm[]): Creep | undefined {
  const latest = withMonth(terms, stepOf).at(-1);
  return latest && (latest.log.p05 > worthTelling || latest.log.p95 < -worthTelling) ? latest : undefined;
}

/** The middle of a sentence. */
export function creepInWords(model: ModelName, { month, log }: Creep): string {
  return `${words[model].what} before ${month} count as ${inPercent(model, log.p50)} than those since (90 % range ${rangeInPercent(log)})`;
}

export type LevelTerm = Range & { readonly term: string };

function withMonth(terms: readonly LevelTerm[], monthOf: (term: string) => string | undefined): readonly Creep[] {
  return terms.flatMap((log) => {
    const month = monthOf(log.term);
    return month === undefined ? [] : [{ month, log }];
  });
}

function inPercent(model: ModelName, log: number): string {
  const { more, less } = words[model];
  return `${percent(log)} % ${log < 0 ? less : more}`;
}

function rangeInPercent({ p05, p95 }: Range): string {
  const [low, high] = [percent(p05), percent(p95)].sort((a, b) => a - b);
  return `${low} to ${high} %`;
}

function percent(log: number): number {
  return Math.abs(Math.round(100 * (Math.exp(log) - 1)));
}

/** The same of every change that a fit reckons with, and of how the level crept lately, from the terms of one model's summary. */
export function levelsInWords(model: ModelName, terms: readonly LevelTerm[]): string[] {
  const creep = latestCreep(terms);
  return [
    ...withMonth(terms, changeOf).map(({ month, log }) => levelInWords(model, month, log)),
    ...(creep ? [`It creeps, and the fit follows: ${creepInWords(model, creep)}.`] : []),
  ];
}

const words: Readonly<Record<ModelName, { readonly what: string; readonly more: string; readonly less: string }>> = {
  passes: { what: 'sections', more: 'more effort to get clean', less: 'less effort to get clean' },
  labour: { what: 'jobs', more: 'slower', less: 'quicker' },
  water: { what: 'jobs', more: 'wetter', less: 'less wet' },
  drying: { what: 'jobs', more: 'slower to dry', less: 'quicker to dry' },
};
