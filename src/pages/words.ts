/** The trade's closed lists as people say them. */
import {
  type Area,
  areas,
  bodyStyles,
  brushes,
  comebacks,
  damages,
  dryingAids,
  fabrics,
  methods,
  results,
  soils,
  stains,
} from '../domain/vocabulary.ts';
import type { Formats } from './format.ts';

/** A value of a closed list in words: `spot-then-extraction` is "spot, then extraction". */
export function wordsFor(value: string): string {
  return special[value] ?? value.replaceAll('-', ' ');
}

/** The same with a capital, to begin a line. */
export function headingFor(value: string): string {
  return capital(wordsFor(value));
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A section's area with its pieces: "front seats (2)"; one piece is not counted. */
export function areaWords(area: Area, count: number): string {
  return count === 1 ? wordsFor(area) : `${wordsFor(area)} (${count})`;
}

/** So many of what can be counted: "1 finished job", "1,204 finished jobs". */
export function counted(count: number, one: string, formats: Pick<Formats, 'number'>): string {
  return `${formats.number(count)} ${count === 1 ? one : `${one}s`}`;
}

/** Technicians or machines to choose from. */
export function namesOf(list: readonly { readonly key: string; readonly name: string }[]): Options {
  return list.map(({ key, name }) => [key, name] as const);
}

type Options = readonly (readonly [value: string, label: string])[];

const options = (values: readonly string[]): Options => values.map((value) => [value, wordsFor(value)] as const);

const special: Readonly<Record<string, string>> = {
  'front-seat': 'front seats',
  cargo: 'cargo area',
  'door-insert': 'door inserts',
  suv: 'SUV',
  'suv-3row': 'SUV, three rows',
  'spot-then-extraction': 'spot, then extraction',
  'suede-like': 'suede-like',
  protein: 'protein (blood, milk)',
  unknown: 'not known',
};

export const bodyStyleOptions = options(bodyStyles);
export const areaOptions = options(areas);
export const fabricOptions = options(fabrics);
export const soilOptions = options(soils);
export const stainOptions = options(stains);
export const methodOptions = options(methods);
export const brushOptions = options(brushes);
export const dryingAidOptions = options(dryingAids);
export const resultOptions = options(results);
export const comebackOptions = options(comebacks);
export const damageOptions = options(damages);
