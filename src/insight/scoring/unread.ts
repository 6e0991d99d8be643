import type { ModelName } from '../../domain/doubts.ts';
import type { ShopFit } from '../../models/shop-fit.ts';

/** By model, refs of the records that a fit does not believe: what came of them is held against no forecast. */
export type Unread = Readonly<Record<ModelName, ReadonlySet<string>>>;

export function unreadOf({ models }: ShopFit): Unread {
  const refs = (model: ModelName) => new Set(models[model].leftOut.map(({ ref }) => ref));
  return { passes: refs('passes'), labour: refs('labour'), water: refs('water'), drying: refs('drying') };
}
