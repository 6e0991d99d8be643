import type { FinishedJob } from '../../domain/record.ts';
import { drawPredictors } from '../../inference/predict.ts';
import { quantiles } from '../../inference/quantile.ts';
import { normalStore } from '../../inference/random.ts';
import { chanceThat } from '../../models/estimate/figure.ts';
import { type Habits, habitOf } from '../../models/habits.ts';
import { columnCount, type Entries, technicianColumn, termColumn } from '../../models/layout.ts';
import { sparse } from '../../models/rows/model-rows.ts';
import type { FittedModel, ShopFit } from '../../models/shop-fit.ts';

/** A factor against the mean of the other technicians on the same work, with its 90 % range. */
export interface Multiplier {
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
  /** Chance, 0 to 1, that it lies above {@link concerning}. */
  readonly chanceAbove: number;
}

/** A seventh more water than the others leave: below this a difference is not worth a word. */
export const concerning = 1.15;

const nDraws = 4000;
const seed = 71;
const normals = normalStore();

/** How far a technician's habits lie from the mean of the others', by term of the water model. */
interface HabitGaps {
  /** Dry passes to a wet one. */
  readonly dry: number;
  /** Share of jobs with a last round with the vacuum. */
  readonly vac: number;
}

/**
 * One technician's effect in a model against the mean of the others', by the posterior.
 * With the habits: adjusting for dry passes and last rounds hides exactly those habits, so both are told.
 */
export function multiplier(model: FittedModel, key: string, others: readonly string[], gaps?: HabitGaps): Multiplier {
  const { layout, posterior } = model;
  const entries: Entries = [
    [technicianColumn(layout, key), 1],
    ...others.map((other) => [technicianColumn(layout, other), -1 / others.length] as const),
    ...Object.entries(gaps ?? {}).map(([term, gap]) => [termColumn(layout, term), gap] as const),
  ];
  const row = sparse([{ entries }], columnCount(layout));
  const { eta } = drawPredictors(posterior, row, normals(seed, nDraws), nDraws);
  const [p05, p50, p95] = quantiles(eta, [0.05, 0.5, 0.95]);
  const chanceAbove = chanceThat(eta, (value) => value > Math.log(concerning));
  return { p05: Math.exp(p05), p50: Math.exp(p50), p95: Math.exp(p95), chanceAbove };
}

export function habitGaps({ dryHabits, vacuumHabits }: ShopFit, key: string, others: readonly string[]): HabitGaps {
  return { dry: gapOf(dryHabits, key, others), vac: gapOf(vacuumHabits, key, others) };
}

function gapOf(habits: Habits, key: string, others: readonly string[]): number {
  const mean = others.reduce((sum, other) => sum + habitOf(habits, other), 0) / others.length;
  return habitOf(habits, key) - mean;
}

/** Everyone who worked on one of these jobs, by key. */
export function peopleOf(records: readonly FinishedJob[]): readonly string[] {
  return [...new Set(records.flatMap(({ labour }) => labour.map(({ technician }) => technician)))].sort();
}
