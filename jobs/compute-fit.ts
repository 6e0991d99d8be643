import { encodeShopFit, type FitInput, fitShop, summariseShopFit } from '../src/models/fit.ts';

/** What one run computes from one shop's records: everything that is stored with the fit, and whether it may be published. */
export interface ComputedFit {
  readonly posterior: string;
  readonly summary: unknown;
}

/** Pure: the whole arithmetic of a run, so that it can be done in a process of its own. */
export function computeFit(input: FitInput): ComputedFit {
  const fit = fitShop(input);
  return { posterior: encodeShopFit(fit), summary: summariseShopFit(fit) };
}
