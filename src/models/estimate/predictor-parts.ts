import type { Grade } from '../../domain/vocabulary.ts';
import { type Entries, type Layout, machineColumn, technicianColumn, termColumn, weighted } from '../layout.ts';
import type { WorkOption } from './option-draws.ts';
import type { MachineOption } from './planned-work.ts';

/** One linear predictor of a job: what is fixed, and how much whoever does it and the extractor weigh in. */
export interface Target {
  readonly base: Entries;
  /** `named` undefined is whoever gets the job. */
  readonly people: readonly { readonly named: string | undefined; readonly weight: number }[];
  readonly extractor: number;
}

/** The predictors that each option needs, as sums of parts that the options share. */
export interface PredictorParts {
  readonly parts: readonly Entries[];
  /** By option and place: the parts, with their weights. */
  readonly sets: readonly (readonly Entries[])[];
}

/** One predictor a target: what is fixed of it, whoever the option has do it, and the option's extractor. */
export function targetParts(
  layout: Layout,
  targets: readonly Target[],
  options: readonly WorkOption[],
): PredictorParts {
  if (options.length === 1)
    return singleParts(
      targets.map((target) => targetEntries(layout, target, options[0])),
      options,
    );
  const technicians = [...new Set(options.map(({ technician }) => technician))];
  const machines = [...new Set(options.map(({ machine }) => machine))];
  const firstMachine = targets.length + technicians.length;
  const parts = [
    ...targets.map((target) => namedEntries(layout, target)),
    ...technicians.map((key): Entries => [[technicianColumn(layout, key), 1]]),
    ...machines.map((machine) => extractorEntries(layout, machine)),
  ];
  const sets = options.map(({ technician, machine }) =>
    targets.map(
      (target, t): Entries => [
        [t, 1],
        [targets.length + technicians.indexOf(technician), openWeight(target)],
        [firstMachine + machines.indexOf(machine), target.extractor],
      ],
    ),
  );
  return { parts, sets };
}

/** Predictors that are the same for every option. */
export function singleParts(parts: readonly Entries[], options: readonly WorkOption[]): PredictorParts {
  const set = parts.map((_, i): Entries => [[i, 1]]);
  return { parts, sets: options.map(() => set) };
}

export function noPredictors(options: readonly WorkOption[]): PredictorParts {
  return singleParts([], options);
}

/** The sets of all, one behind the other, of the same options. */
export function joined(all: readonly PredictorParts[]): PredictorParts {
  return all.reduce((before, next) => ({
    parts: [...before.parts, ...next.parts],
    sets: before.sets.map((set, o) => [
      ...set,
      ...next.sets[o].map((sum) => sum.map(([part, weight]) => [before.parts.length + part, weight] as const)),
    ]),
  }));
}

function targetEntries(layout: Layout, target: Target, { technician, machine }: WorkOption): Entries {
  return [
    ...namedEntries(layout, target),
    [technicianColumn(layout, technician), openWeight(target)],
    ...weighted(extractorEntries(layout, machine), target.extractor),
  ];
}

/** Whatever the option. */
function namedEntries(layout: Layout, { base, people }: Target): Entries {
  const named = people.filter((one) => one.named !== undefined);
  return [...base, ...named.map((one) => [technicianColumn(layout, one.named), one.weight] as const)];
}

function openWeight({ people }: Target): number {
  return people.reduce((sum, { named, weight }) => sum + (named === undefined ? weight : 0), 0);
}

/** Grade and own effect of an extractor, for work that is wholly done with it; nothing in a model without extractors. */
export function extractorEntries(layout: Layout, machine: MachineOption): Entries {
  const column = machineColumn(layout, machine.key);
  return column === undefined ? [] : [...gradeEntries(layout, machine.grade), [column, 1]];
}

function gradeEntries(layout: Layout, grade: Grade): Entries {
  return grade === 'standard' ? [] : [[termColumn(layout, grade), 1]];
}

/** Each value once, and where each of the list is found among them. */
export function distinctOf<T>(values: readonly T[]): {
  readonly distinct: readonly T[];
  readonly placeOf: readonly number[];
} {
  const placeByName = new Map<string, number>();
  const distinct: T[] = [];
  const placeOf = values.map((value) => {
    const name = JSON.stringify(value);
    const known = placeByName.get(name);
    if (known !== undefined) return known;
    placeByName.set(name, distinct.length);
    return distinct.push(value) - 1;
  });
  return { distinct, placeOf };
}
