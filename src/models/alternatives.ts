import { roundMoney } from '../domain/money.ts';
import { type Alternative, type PlannedJob, plannedJob } from '../domain/planned.ts';
import { brushes } from '../domain/vocabulary.ts';
import { quantiles } from '../inference/quantile.ts';
import { type Caution, cautionsFor } from './cautions.ts';
import { chanceThat, significant } from './estimate/figure.ts';
import { plannedWork } from './estimate/planned-work.ts';
import { quoteFor } from './estimate/quote.ts';
import { type JobDraws, simulateJob } from './estimate/simulate-job.ts';
import { defaultDraws, type EstimateContext } from './estimate.ts';
import type { ShopFit } from './shop-fit.ts';

/** A difference to the plan, job by job: negative is less; 90 % range over common draws. */
export interface Difference {
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
  /** Chance, 0 to 1, that it is less than the plan's. */
  readonly chanceLess: number;
}

export interface AlternativeAnswer {
  readonly label: string;
  readonly labourHours: Difference;
  /** Passes made, mean by section. */
  readonly passes: Difference;
  readonly waterLPerM2: Difference;
  readonly dryHours: Difference;
  readonly quoteHours: number;
  readonly price: number;
  readonly priceDifference: number;
  readonly currency: string;
  readonly cautions: readonly Caution[];
}

/**
 * The same job done in other ways, each against the plan draw by draw: what both share (the vehicle, its soil, luck) cancels.
 * Throws RangeError where an alternative names a section that the plan does not have.
 */
export function compareAlternatives(
  fit: ShopFit,
  job: PlannedJob,
  alternatives: readonly Alternative[],
  context: EstimateContext,
): readonly AlternativeAnswer[] {
  if (alternatives.length === 0) return [];
  const drawsOf = (plan: PlannedJob) =>
    simulateJob(fit, plannedWork(fit, plan, context), context.nDraws ?? defaultDraws);
  const base = drawsOf(job);
  const basePrice = quoteFor(base.labourHours, job, context.settings).price;
  return alternatives.map((other) => {
    const plan = planOf(job, other);
    const draws = drawsOf(plan);
    const { hours, price, currency } = quoteFor(draws.labourHours, plan, context.settings);
    return {
      label: other.label,
      labourHours: difference(draws.labourHours, base.labourHours),
      passes: difference(meanPasses(draws), meanPasses(base)),
      waterLPerM2: difference(draws.wettestLPerM2, base.wettestLPerM2),
      dryHours: difference(draws.dryHours, base.dryHours),
      quoteHours: hours,
      price,
      priceDifference: roundMoney(price - basePrice, currency),
      currency,
      cautions: [...cautionsOfChange(job, plan, draws, base), ...cautionsFor(plan, stillWet(draws))],
    };
  });
}

function planOf(job: PlannedJob, other: Alternative): PlannedJob {
  const sections = job.sections.map((section) => ({ ...section, technician: whoElse(section.technician, job, other) }));
  for (const { section, ...change } of other.sections) {
    if (section >= sections.length)
      throw new RangeError(`alternative "${other.label}" names section ${section}: the plan has ${sections.length}`);
    Object.assign(sections[section], change);
  }
  return plannedJob.parse({
    ...job,
    sections,
    seatsRemoved: other.seatsRemoved ?? job.seatsRemoved,
    extractor: other.extractor ?? job.extractor,
    technician: other.technician ?? job.technician,
    drying: dryingOf(job, other),
  });
}

/** Somebody else takes over what the plan's technician was to do; where the plan names none, all of it. */
function whoElse(named: string | undefined, { technician }: PlannedJob, other: Alternative): string | undefined {
  const isTakenOver = other.technician !== undefined && (technician === undefined || technician === named);
  return isTakenOver ? undefined : named;
}

/** An air speed that was measured is that of the plan's aid: another one makes its own. */
function dryingOf({ drying }: PlannedJob, { dryingAid }: Alternative): PlannedJob['drying'] {
  if (dryingAid === undefined || dryingAid === drying?.aid) return drying;
  return { ...drying, aid: dryingAid, airSpeedMs: undefined };
}

function difference(other: Float64Array, base: Float64Array): Difference {
  const draws = other.map((value, d) => value - base[d]);
  const [p05, p50, p95] = quantiles(draws, [0.05, 0.5, 0.95]);
  const chanceLess = chanceThat(draws, (value) => value < 0);
  return { p05: significant(p05), p50: significant(p50), p95: significant(p95), chanceLess };
}

function meanPasses({ passes, labourHours }: JobDraws): Float64Array {
  return labourHours.map((_, d) => passes.reduce((sum, { made }) => sum + made[d], 0) / passes.length);
}

function stillWet({ dryHours }: JobDraws) {
  const after = (hours: number) => chanceThat(dryHours, (value) => value > hours);
  return { after24h: after(24), after48h: after(48) };
}

/** What comes with doing it this way. Common practice, no source. */
function cautionsOfChange(job: PlannedJob, plan: PlannedJob, draws: JobDraws, base: JobDraws): Caution[] {
  const harder = plan.sections.some(
    ({ brush }, s) => brush !== undefined && brushes.indexOf(brush) > brushes.indexOf(job.sections[s].brush ?? 'soft'),
  );
  const [later] = quantiles(draws.dryHours, [0.5]);
  const [now] = quantiles(base.dryHours, [0.5]);
  return [
    ...(harder
      ? [
          {
            id: 'brush',
            text: 'A stiffer brush can pill or abrade cloth, which cannot be undone: try it on a hidden place first.',
            because: 'a stiffer brush than planned',
          },
        ]
      : []),
    ...(later > 1.05 * now
      ? [
          {
            id: 'later-return',
            text: 'More water stays in: the vehicle goes back later and wick-back is likelier.',
            because: `${(later - now).toFixed(1)} hours more of drying in the middle of the range`,
          },
        ]
      : []),
  ];
}
