import type { PlannedJobInput } from '../domain/planned.ts';
import type { AlternativeAnswer } from '../models/alternatives.ts';
import type { ReadyBy } from '../models/estimate/ready-by.ts';
import type { Estimate } from '../models/estimate.ts';

export type { AlternativeAnswer, Difference } from '../models/alternatives.ts';
export type { DryingAfterWork } from '../models/drying-after-work.ts';

import type { Explanation, ShownFigures } from '../models/estimate/drivers.ts';

export type { Explanation } from '../models/estimate/drivers.ts';
export type { Quantiles } from '../models/estimate/figure.ts';
export type { Estimate, PassChance, SectionEstimate } from '../models/estimate.ts';

/** Ready-by times; those given by former versions have no early quantiles. */
export type GivenReadyBy = Pick<ReadyBy, 'workEnds' | 'p50' | 'p80' | 'p90' | 'p95'> & Partial<ReadyBy>;

/** An estimate as it was answered: what is stored, and what is shown word for word. Former versions said less. */
export interface GivenEstimate extends Omit<Estimate, 'readyBy' | 'drivers' | 'wouldNarrow'> {
  readonly drivers: { readonly [Figure in keyof ShownFigures]: Explanation };
  readonly wouldNarrow?: Estimate['wouldNarrow'];
  readonly id: string;
  readonly madeAt: string;
  readonly fitId: string | null;
  readonly readyBy: GivenReadyBy | null;
  readonly alternatives: readonly AlternativeAnswer[];
}

/** The border to what this program wrote itself: an answer's text as the estimate that it is. */
export function readGiven(answer: string): GivenEstimate {
  return JSON.parse(answer) as GivenEstimate;
}

/** The same for the request behind it, which had passed its rules before it was stored. */
export function readAsked(request: string): PlannedJobInput {
  return JSON.parse(request) as PlannedJobInput;
}
