import type { FinishedJob } from '../../domain/record.ts';
import { drawPredictors } from '../../inference/predict.ts';
import { quantiles } from '../../inference/quantile.ts';
import { normalStore } from '../../inference/random.ts';
import { dryHabitOf } from '../../models/habits.ts';
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

/**
 * One technician's effect in a model against the mean of the others', by the posterior.
 * With the habit of dry passes: adjusting for dry passes hides exactly that habit, so both are told.
 */
export function multiplier(model: FittedModel, key: string, others: readonly string[], dryGap?: number): Multiplier {
  const { layout, posterior } = model;
  const entries: Entries = [
    [technicianColumn(layout, key), 1],
    ...others.map((other) => [technicianColumn(layout, other), -1 / others.length] as const),
    ...(dryGap === undefined ? [] : [[termColumn(layout, 'dry'), dryGap] as const]),
  ];
  const row = sparse([{ entries }], columnCount(layout));
  const { eta } = drawPredictors(posterior, row, normals(seed, nDraws), nDraws);
  const [p05, p50, p95] = quantiles(eta, [0.05, 0.5, 0.95]);
  const above = eta.reduce((count, value) => count + (value > Math.log(concerning) ? 1 : 0), 0);
  return { p05: Math.exp(p05), p50: Math.exp(p50), p95: Math.exp(p95), chanceAbove: above / nDraws };
}

/** Dry passes to a wet one: the technician's habit less the mean of the others'. */
export function dryGap({ dryHabits }: ShopFit, key: string, others: readonly string[]): number {
  const mean = others.reduce((sum, other) => sum + dryHabitOf(dryHabits, other), 0) / others.length;
  return dryHabitOf(dryHabits, key) - mean;
}

/** Everyone who worked on one of these jobs, by key. */
export function peopleOf(records: readonly FinishedJob[]): readonly string[] {
  return [...new Set(records.flatMap(({ labour }) => labour.map(({ technician }) => technician)))].sort();
}
