import type { Machine, Technician } from '../src/domain/lists.ts';
import type { FinishedJob } from '../src/domain/record.ts';
import { fitShop } from '../src/models/fit.ts';
import { decodeShopFit, encodeShopFit } from '../src/models/fit-codec.ts';
import { summariseShopFit } from '../src/models/fit-summary.ts';
import type { RuleOverrides } from '../src/models/rule-table.ts';
import type { ShopFit } from '../src/models/shop-fit.ts';

/** All that a run reads of a shop; `published` is the encoded fit that estimates use now. */
export interface FitMaterial {
  readonly records: readonly FinishedJob[];
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly rules: RuleOverrides;
  readonly now: Date;
  readonly published?: string | undefined;
}

/** What is stored of a run, and what becomes of it: `reason` says in words why it is not published. */
export interface ComputedFit {
  readonly status: 'published' | 'refused' | 'failed';
  readonly reason: string | null;
  readonly posterior: string | null;
  readonly summary: object;
  readonly scores: object | null;
}

/** Pure: the whole arithmetic of a run, so that it can be done in a process of its own. */
export function computeFit({ published, ...material }: FitMaterial): ComputedFit {
  const former = published === undefined ? undefined : readFormer(published);
  const result = fitShop({ ...material, warmStart: former });
  if (result.status === 'failed') {
    const reason = result.failures.map((failure) => failure.message).join(' ');
    return { status: 'failed', reason, posterior: null, summary: { failures: result.failures }, scores: null };
  }
  const { fit } = result;
  return {
    status: 'published',
    reason: null,
    posterior: encodeShopFit(fit),
    summary: summariseShopFit(fit),
    scores: null,
  };
}

/** A fit of another version of the program is no place to start from, and needs none. */
function readFormer(text: string): ShopFit | undefined {
  try {
    return decodeShopFit(text);
  } catch {
    return undefined;
  }
}
