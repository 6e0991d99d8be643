import type { Grade } from '../../domain/vocabulary.ts';
import { drawByOption } from '../../inference/predict-options.ts';
import { columnCount, type Entries, type Layout, machineColumn, technicianColumn, termColumn } from '../layout.ts';
import { sparse } from '../rows/model-rows.ts';
import type { FittedModel } from '../shop-fit.ts';
import { predictorNormals, type Stream } from './noise.ts';
import type { OptionDraws, WorkOption } from './option-draws.ts';
import type { MachineOption } from './planned-work.ts';

/** One linear predictor of a job: what is fixed, and how much whoever does it and the extractor weigh in. */
export interface Target {
  readonly base: Entries;
  /** `named` undefined is whoever gets the job. */
  readonly people: readonly { readonly named: string | undefined; readonly weight: number }[];
  readonly extractor: number;
}

/** Joint draws of what one model says about a job; every array has one entry a draw. */
export interface ModelDraws {
  readonly sigma: Float64Array;
  /** One a target, technician and extractor of the draw included. */
  readonly levels: readonly Float64Array[];
  /** Single coefficients that meet something drawn elsewhere. */
  readonly coefficients: readonly Float64Array[];
  /** Further predictors of the same model that something else hangs on. */
  readonly further: readonly Float64Array[];
}

/**
 * Draws only the linear predictors that a job needs, jointly: its distinct targets and single coefficients, for the technician and the
 * extractor that each draw takes. Like sections share one predictor: two front seats and a rear bench of one cloth are a single one to draw.
 */
export function modelDraws(
  { layout, posterior }: Pick<FittedModel, 'layout' | 'posterior'>,
  targets: readonly Target[],
  coefficients: readonly string[],
  options: OptionDraws,
  random: { readonly stream: Stream; readonly shift: number },
  further: (option: WorkOption) => readonly Entries[] = () => [],
): ModelDraws {
  const places = distinctOf(targets);
  const single = coefficients.map((term): Entries => [[termColumn(layout, term), 1]]);
  const sets = options.options.map((option) => [
    ...places.distinct.map((target) => targetEntries(layout, target, option)),
    ...single,
    ...further(option),
  ]);
  const size = sets[0].length;
  const normals = predictorNormals(random.stream, options.option.length, size);
  const draws = drawByOption(posterior, distinctRows(layout, sets), options.option, normals, random.shift);
  return {
    sigma: draws.sigma,
    levels: places.placeOf.map((place) => draws.eta[place]),
    coefficients: draws.eta.slice(places.distinct.length, places.distinct.length + single.length),
    further: draws.eta.slice(places.distinct.length + single.length),
  };
}

/** Grade and own effect of an extractor, for work that is wholly done with it; nothing in a model without extractors. */
export function extractorEntries(layout: Layout, machine: MachineOption): Entries {
  const column = machineColumn(layout, machine.key);
  return column === undefined ? [] : [...gradeEntries(layout, machine.grade), [column, 1]];
}

function gradeEntries(layout: Layout, grade: Grade): Entries {
  return grade === 'standard' ? [] : [[termColumn(layout, grade), 1]];
}

export function targetEntries(layout: Layout, { base, people, extractor }: Target, option: WorkOption): Entries {
  return [
    ...base,
    ...people.map(({ named, weight }) => [technicianColumn(layout, named ?? option.technician), weight] as const),
    ...extractorEntries(layout, option.machine).map(([column, value]) => [column, value * extractor] as const),
  ];
}

/** The rows of all sets, each once, and where each set finds its own. */
function distinctRows(layout: Layout, sets: readonly (readonly Entries[])[]) {
  const size = sets[0].length;
  const { distinct, placeOf } = distinctOf(sets.flat());
  const rows = sparse(
    distinct.map((entries) => ({ entries })),
    columnCount(layout),
  );
  return { rows, rowOf: sets.map((_, o) => Int32Array.from(placeOf.slice(o * size, (o + 1) * size))) };
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
