import type { Grade } from '../../domain/vocabulary.ts';
import { drawPredictors } from '../../inference/predict.ts';
import { columnCount, type Entries, type Layout, machineColumn, technicianColumn, termColumn } from '../layout.ts';
import { sparse } from '../rows/model-rows.ts';
import type { FittedModel } from '../shop-fit.ts';
import { chosenDraws } from './draw-arrays.ts';
import { predictorNormals, type Stream } from './noise.ts';
import type { MachineOption, PlannedWork } from './planned-work.ts';

/** Joint draws of what one model says about a job; every array has one entry a draw. */
export interface ModelDraws {
  readonly sigma: Float64Array;
  /** The linear predictor of each case without technician and extractor. */
  readonly bases: readonly Float64Array[];
  /** Single coefficients that meet something drawn elsewhere. */
  readonly coefficients: readonly Float64Array[];
  /** Effect of a technician by key; of someone new for an unknown one. */
  readonly technician: (key: string | undefined) => Float64Array;
  /** Effect of whoever gets the job: in each draw one of the plan's options. */
  readonly whoeverGetsIt: Float64Array;
  /** Grade and own effect of the extractor: in each draw one of the plan's options. */
  readonly extractor: Float64Array;
}

/** Which option each draw takes: one index a draw. */
export interface OptionDraws {
  readonly technician: Uint16Array;
  readonly machine: Uint16Array;
}

/**
 * Draws only the linear predictors that a job needs, jointly: its distinct cases, single coefficients, people and extractors.
 * `shift` turns the draws round, another amount for each model: all models hand out their design points in one and the same order, and
 * without it a draw with a large spread in one would have a large one in all.
 */
export function modelDraws(
  model: FittedModel,
  work: PlannedWork,
  cases: readonly Entries[],
  coefficients: readonly string[],
  options: OptionDraws,
  random: { readonly stream: Stream; readonly nDraws: number; readonly shift: number },
): ModelDraws {
  const { layout } = model;
  const people = [...new Set([...work.technicians.map(({ key }) => key), ...work.namedTechnicians.filter(isNamed)])];
  const distinct = distinctEntries(cases);
  const rows: Entries[] = [
    ...distinct.rows,
    ...coefficients.map((term): Entries => [[termColumn(layout, term), 1]]),
    ...people.map((key): Entries => [[technicianColumn(layout, key), 1]]),
    ...work.machines.map((machine) => extractorEntries(layout, machine)),
  ];
  const draws = drawnRows(model, rows, random);
  const firstPerson = distinct.rows.length + coefficients.length;
  const ofPerson = (key: string | undefined) => draws.eta[firstPerson + people.indexOf(key)];
  return {
    sigma: draws.sigma,
    bases: distinct.rowOf.map((row) => draws.eta[row]),
    coefficients: coefficients.map((_, i) => draws.eta[distinct.rows.length + i]),
    technician: ofPerson,
    whoeverGetsIt: chosenDraws(
      work.technicians.map(({ key }) => ofPerson(key)),
      options.technician,
    ),
    extractor: chosenDraws(
      work.machines.map((_, m) => draws.eta[firstPerson + people.length + m]),
      options.machine,
    ),
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

function drawnRows(
  model: FittedModel,
  rows: readonly Entries[],
  random: { stream: Stream; nDraws: number; shift: number },
) {
  const { nDraws, shift } = random;
  const design = sparse(
    rows.map((entries) => ({ entries })),
    columnCount(model.layout),
  );
  const draws = drawPredictors(model.posterior, design, predictorNormals(random.stream, nDraws, rows.length), nDraws);
  const rowDraws = (r: number) => draws.eta.subarray(r * nDraws, (r + 1) * nDraws);
  return { eta: rows.map((_, r) => turned(rowDraws(r), shift)), sigma: turned(draws.sigma, shift) };
}

function turned(values: Float64Array, shift: number): Float64Array {
  const result = new Float64Array(values.length);
  result.set(values.subarray(shift));
  result.set(values.subarray(0, shift), values.length - shift);
  return result;
}

/** Like sections share one predictor: two front seats and a rear bench of one cloth are a single row to draw. */
function distinctEntries(cases: readonly Entries[]): {
  readonly rows: readonly Entries[];
  readonly rowOf: readonly number[];
} {
  const names = cases.map((entries) => JSON.stringify(entries));
  const distinct = [...new Set(names)];
  return {
    rows: distinct.map((name) => cases[names.indexOf(name)]),
    rowOf: names.map((name) => distinct.indexOf(name)),
  };
}

function isNamed(key: string | undefined): key is string {
  return key !== undefined;
}
