import { guessUnit } from '../domain/csv-guess.ts';
import { type CsvMapping, columnOf, csvMapping, mappingFaults, wordsToAsk } from '../domain/csv-mapping.ts';
import type { CsvProfile } from '../domain/csv-profile.ts';
import { targets } from '../domain/csv-targets.ts';
import { type Fault, faultSaying, readBy } from '../domain/faults.ts';
import { fieldFor, targetLabel } from '../pages/import-words.ts';

type Input = Readonly<Record<string, unknown>>;
type ReadMapping = { readonly mapping: CsvMapping; readonly faults: readonly Fault[] };

/** The choice of columns as it was sent, over what was chosen before. */
export function columnsFrom(input: Input, before: CsvMapping, profile: CsvProfile): ReadMapping {
  const from = Object.fromEntries(
    targets.flatMap(({ name }) => {
      const chosen = input[fieldFor(name)];
      return typeof chosen === 'string' && chosen !== '' ? [[name, chosen] as const] : [];
    }),
  );
  const moved = (name: string) => from[name] !== before.from[name];
  const kept = <T>(choices: Readonly<Record<string, T>>) =>
    Object.fromEntries(Object.entries(choices).filter(([name]) => !moved(name)));
  const read = readBy(csvMapping, { ...before, from, units: kept(before.units), words: kept(before.words) });
  if (!read.ok) return { mapping: before, faults: read.faults.map(atField) };
  const mapping = { ...read.value, units: { ...unitsOfMoved(read.value, moved, profile), ...read.value.units } };
  const faults = mappingFaults(mapping, profile.header.length).map(({ target, rule }) =>
    faultSaying([fieldFor(target)], `${targetLabel(target)}: ${rule}`),
  );
  return { mapping, faults };
}

/** The units of columns that were not guessed but chosen. */
function unitsOfMoved(mapping: CsvMapping, moved: (name: string) => boolean, profile: CsvProfile) {
  return Object.fromEntries(
    targets.flatMap((target) => {
      const column = moved(target.name) ? columnOf(mapping, target.name) : undefined;
      const unit = column === undefined ? undefined : guessUnit(target, profile, column, mapping.decimal);
      return unit === undefined ? [] : [[target.name, unit] as const];
    }),
  );
}

/** Units, days and words as they were sent. */
export function valuesFrom(input: Input, before: CsvMapping): ReadMapping {
  const units = targets.flatMap(({ name }) => {
    const unit = input[`unit-${fieldFor(name)}`];
    return typeof unit === 'string' ? [[name, unit] as const] : [];
  });
  const words = Object.entries(before.words).map(([name, pairs]) => {
    const sent: unknown = input[`word-${fieldFor(name)}`];
    const meant = (i: number): unknown => (Array.isArray(sent) ? sent[i] : undefined);
    return [name, pairs.map(([word], i) => [word, meant(i) ?? ''])] as const;
  });
  const { dayOrder, decimal, endOfDay } = before;
  const read = readBy(csvMapping, {
    ...before,
    dayOrder: input.dayOrder ?? dayOrder,
    decimal: input.decimal ?? decimal,
    endOfDay: 'endOfDay' in input ? input.endOfDay : endOfDay,
    units: Object.fromEntries(units),
    words: Object.fromEntries(words),
  });
  if (!read.ok) return { mapping: before, faults: read.faults };
  const faults = wordsToAsk(read.value).map(({ target, word, at }) =>
    faultSaying([`word-${fieldFor(target)}`, at], `${targetLabel(target)}: what is “${word}”?`),
  );
  return { mapping: read.value, faults };
}

/** A fault of the mapping's own schema at the field that chose it. */
function atField(fault: Fault): Fault {
  const name = fault.pointer.split('/')[2];
  return name === undefined ? fault : { ...fault, pointer: `/${fieldFor(name)}` };
}
