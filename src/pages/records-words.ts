import type { Machine, Technician } from '../domain/lists.ts';
import type { FinishedJob } from '../domain/record.ts';
import { listed, planInWords } from './desk-plan-words.ts';
import { capital } from './words.ts';

/** The shop's lists, by which a record's keys are told as names. */
export interface ShopLists {
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
}

/** What was cleaned, in one line: "Sedan, front seats (2) and rear bench, seats taken out". */
export function workInWords(job: FinishedJob): string {
  return capital(planInWords(job));
}

/** "Ana and Tia" */
export function crewInWords({ labour }: FinishedJob, { technicians }: ShopLists): string {
  return listed(labour.map(({ technician }) => nameIn(technicians, technician)));
}

/** The extractor's name, or that there was none. */
export function extractorInWords({ extractor }: FinishedJob, { machines }: ShopLists): string {
  return extractor === null ? 'none' : nameIn(machines, extractor);
}

/** The name behind a key; the key itself where the list has none. */
export function nameIn(list: readonly { readonly key: string; readonly name: string }[], key: string): string {
  return list.find((one) => one.key === key)?.name ?? key;
}

/** Person-hours of a job. */
export function hoursOf({ labour }: FinishedJob): number {
  return labour.reduce((sum, { minutes }) => sum + minutes, 0) / 60;
}
