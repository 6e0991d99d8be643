import { randomUUID } from 'node:crypto';
import type { Reading } from '../domain/faults.ts';
import { checkPlanned } from '../domain/planned-rules.ts';
import type { FinishedJob } from '../domain/record.ts';
import { compareAlternatives } from '../models/alternatives.ts';
import { type DryingAfterWork, dryingAfterWork } from '../models/drying-after-work.ts';
import { estimateJob } from '../models/estimate.ts';
import { insertEstimate, type StoredEstimate } from '../store/estimates.ts';
import { inShop } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import type { BasisOf, EstimateBasis } from './fit-cache.ts';

export interface EstimateMaker {
  /** Makes an estimate and stores it; `request` is what was asked, as JSON text, kept word for word. */
  make(shopId: string, input: unknown, request: string): Promise<Reading<StoredEstimate>>;
  /** The same without storing it: for what is still being typed. */
  draft(shopId: string, input: unknown, request: string): Promise<Reading<StoredEstimate>>;
  /** When finished jobs will be dry, by their numbers: those of which it can be said. */
  drying(shopId: string, jobs: readonly FinishedJob[]): Promise<ReadonlyMap<string, DryingAfterWork>>;
}

/** One way to an estimate for programs and for people. */
export function createEstimateMaker({ db, now }: Pick<AppDeps, 'db' | 'now'>, basisOf: BasisOf): EstimateMaker {
  return {
    make: async (shopId, input, request) => {
      const { made, stored } = await inShop(db, shopId, async (tx) => {
        const made = estimateFrom(await basisOf(tx), input, request, now());
        // Not waited for: it goes out in one with the commit, which undoes all where it fails.
        return { made, stored: Promise.allSettled(made.ok ? [insertEstimate(tx, made.value)] : []) };
      });
      for (const outcome of await stored) if (outcome.status === 'rejected') throw outcome.reason;
      return made;
    },
    draft: (shopId, input, request) =>
      inShop(db, shopId, async (tx) => estimateFrom(await basisOf(tx), input, request, now())),
    drying: async (shopId, jobs) => {
      const basis = await inShop(db, shopId, basisOf);
      const said = jobs.map((job) => [job.ref, dryingAfterWork(basis.fit, job, basis)] as const);
      return new Map(said.flatMap(([ref, forecast]) => (forecast === undefined ? [] : [[ref, forecast] as const])));
    },
  };
}

/** The answer as it is stored and given, or all that is wrong with what was asked. */
function estimateFrom(basis: EstimateBasis, input: unknown, request: string, madeAt: Date): Reading<StoredEstimate> {
  const { shop, technicians, machines, fit, fitId } = basis;
  const keys = { technicians: keysOf(technicians), machines: keysOf(machines) };
  const reading = checkPlanned(input, { now: madeAt, ...keys });
  if (!reading.ok) return reading;
  // A plan without a start is set on the day of the fit: the same request against the same fit is the same on any day.
  const now = new Date(fit.fittedAt);
  const context = { now, technicians, machines, settings: shop.settings, timeZone: shop.timeZone };
  const estimate = estimateJob(fit, reading.value, context);
  const alternatives = compareAlternatives(fit, reading.value, reading.value.alternatives, context);
  const estimateId = randomUUID();
  const answer = JSON.stringify({ id: estimateId, madeAt: madeAt.toISOString(), fitId, ...estimate, alternatives });
  return { ok: true, value: { estimateId, madeAt, fitId, request, answer } };
}

function keysOf(list: readonly { readonly key: string }[]): ReadonlySet<string> {
  return new Set(list.map(({ key }) => key));
}
