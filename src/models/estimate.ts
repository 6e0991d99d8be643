import type { Machine, Technician } from '../domain/lists.ts';
import type { PlannedJob } from '../domain/planned.ts';
import type { ShopSettings } from '../domain/shop-settings.ts';
import type { Area, Fabric } from '../domain/vocabulary.ts';
import { type Caution, cautionsFor } from './cautions.ts';
import { type ComebackRisk, comebackRisk } from './comebacks.ts';
import { centralCases } from './estimate/central-cases.ts';
import { type Explanations, explain } from './estimate/drivers.ts';
import { type EvidenceShares, evidenceShares, hoursEvidence } from './estimate/evidence.ts';
import { chanceThat, meanOf, middleMeanOf, type Quantiles, quantilesOf, significant } from './estimate/figure.ts';
import { type PlannedWork, plannedWork } from './estimate/planned-work.ts';
import { type Quote, quoteFor } from './estimate/quote.ts';
import { type ReadyBy, readyBy } from './estimate/ready-by.ts';
import { type JobDraws, simulateHours, simulateJob } from './estimate/simulate-job.ts';
import type { PassesDraws } from './estimate/simulate-passes.ts';
import { type Narrowing, wouldNarrow } from './estimate/would-narrow.ts';
import type { ShopFit } from './shop-fit.ts';

export interface EstimateContext {
  readonly now: Date;
  /** IANA name of the shop's zone, for ready-by times. */
  readonly timeZone: string;
  readonly settings: ShopSettings;
  readonly technicians: readonly Technician[];
  readonly machines: readonly Machine[];
  readonly nDraws?: number;
}

/** `passes` 7 stands for seven or more. */
export interface PassChance {
  readonly passes: number;
  readonly orMore: boolean;
  readonly chance: number;
}

export interface SectionEstimate {
  readonly area: Area;
  readonly fabric: Fabric;
  readonly surfaceM2: number;
  /** Whether the surface was told, or taken from the table and the shop's own ratio to it. */
  readonly surfaceFrom: 'request' | 'table';
  readonly passesNeeded: readonly PassChance[];
  readonly meanPassesNeeded: number;
  readonly passesMade: readonly PassChance[];
  readonly meanPassesMade: number;
  /** Chance, 0 to 1, that work stops before this section is clean. */
  readonly chanceOfGivingUp: number;
  readonly waterLPerM2: Figure;
}

export interface Figure extends Quantiles {
  readonly mean: number;
}

export interface Evidence {
  /** 0 to 1, see {@link EvidenceShares}. */
  readonly evidenceShare: number;
}

export interface Estimate {
  readonly basis: 'rules of thumb' | 'rules of thumb and own records';
  readonly jobsLearntFrom: number;
  readonly sections: readonly SectionEstimate[];
  readonly passes: Evidence;
  /** Person-hours; exp of a Student t has no mean, so this one leaves out the wildest hundredth at either end. */
  readonly labourHours: Quantiles & Evidence & { readonly meanOfMiddle98: number };
  /** Of the wettest section. */
  readonly waterLPerM2: Figure & Evidence;
  /** Over all sections. */
  readonly waterLitres: Figure;
  /** From the end of the work until the slowest section is dry. */
  readonly dryHours: Figure & Evidence & { readonly chanceOver24: number; readonly chanceOver48: number };
  readonly readyBy: ReadyBy | null;
  readonly quote: Quote;
  /** The chance that the customer comes back for what was left in. */
  readonly comebackRisk: ComebackRisk;
  readonly drivers: Explanations;
  /** What is open and, were it known, would narrow a range most; the most telling first. */
  readonly wouldNarrow: readonly Narrowing[];
  readonly cautions: readonly Caution[];
}

/** Where the context does not say. */
export const defaultDraws = 4000;
const countedPasses = 7;

/**
 * An estimate of a planned job from a shop's fit: a joint simulation, always the same for the same fit, plan and context.
 *
 * **Units** hours, litres, m², the shop's currency; chances and shares 0 to 1.
 * **Checked** tests/models/no-records.test.ts, tests/models/estimate.test.ts
 */
export function estimateJob(fit: ShopFit, job: PlannedJob, context: EstimateContext): Estimate {
  const work = plannedWork(fit, job, context);
  const draws = simulateJob(fit, work, context.nDraws ?? defaultDraws);
  const passesMade = draws.passes.map(({ made }) => meanOf(made));
  const cases = centralCases(fit, work, passesMade, wettestSection(draws));
  const evidence = evidenceShares(fit, cases);
  const ready = job.startAt === undefined ? null : readyBy(draws, work, context.timeZone);
  const sections = sectionEstimates(work, draws);
  const quote = quoteFor(draws.labourHours, job, context.settings);
  const figures = jobFigures(draws, evidence);
  return {
    basis: fit.nJobs === 0 ? 'rules of thumb' : 'rules of thumb and own records',
    jobsLearntFrom: fit.nJobs,
    sections,
    ...figures,
    readyBy: ready,
    quote,
    comebackRisk: comebackRisk(fit.comebacks, job),
    drivers: explain(fit, work, cases, draws.passes, shownFigures(work, sections, figures)),
    wouldNarrow: wouldNarrow(work, draws, fit),
    cautions: cautionsFor(job, { after24h: figures.dryHours.chanceOver24, after48h: figures.dryHours.chanceOver48 }),
  };
}

/** The quote of {@link estimateJob} alone, to the last digit, and how much of its hours is the shop's own: for many jobs at once. */
export function quoteJob(fit: ShopFit, job: PlannedJob, context: EstimateContext): Quote & Evidence {
  const work = plannedWork(fit, job, context);
  const { passes, labourHours } = simulateHours(fit, work, context.nDraws ?? defaultDraws);
  const cases = centralCases(
    fit,
    work,
    passes.map(({ made }) => meanOf(made)),
    0,
  );
  return { ...quoteFor(labourHours, job, context.settings), evidenceShare: hoursEvidence(fit, cases) };
}

function wettestSection({ waterLPerM2 }: JobDraws): number {
  const means = waterLPerM2.map(meanOf);
  return means.indexOf(Math.max(...means));
}

function sectionEstimates({ sections, job }: PlannedWork, draws: JobDraws): readonly SectionEstimate[] {
  return sections.map((section, s) => {
    const { needed, made } = draws.passes[s];
    return {
      area: section.area,
      fabric: section.fabric,
      surfaceM2: significant(section.surfaceM2),
      surfaceFrom: job.sections[s].surfaceM2 === undefined ? 'table' : 'request',
      passesNeeded: passChances(needed),
      meanPassesNeeded: significant(meanOf(needed)),
      passesMade: passChances(made),
      meanPassesMade: significant(meanOf(made)),
      chanceOfGivingUp: givenUp(draws.passes[s]),
      waterLPerM2: figure(draws.waterLPerM2[s]),
    };
  });
}

function passChances(counts: Uint8Array): readonly PassChance[] {
  const seen = new Float64Array(countedPasses + 1);
  for (let d = 0; d < counts.length; d++) seen[Math.min(counts[d], countedPasses)]++;
  return Array.from({ length: countedPasses }, (_, i) => ({
    passes: i + 1,
    orMore: i + 1 === countedPasses,
    chance: seen[i + 1] / counts.length,
  }));
}

function givenUp({ needed, made }: PassesDraws): number {
  let count = 0;
  for (let d = 0; d < needed.length; d++) if (needed[d] > made[d]) count++;
  return count / needed.length;
}

function jobFigures({ labourHours, wettestLPerM2, waterLitres, dryHours }: JobDraws, evidence: EvidenceShares) {
  return {
    passes: { evidenceShare: evidence.passes },
    labourHours: {
      ...quantilesOf(labourHours),
      meanOfMiddle98: significant(middleMeanOf(labourHours)),
      evidenceShare: evidence.labourHours,
    },
    waterLPerM2: { ...figure(wettestLPerM2), evidenceShare: evidence.water },
    waterLitres: figure(waterLitres),
    dryHours: {
      ...figure(dryHours),
      chanceOver24: chanceThat(dryHours, (hours) => hours > 24),
      chanceOver48: chanceThat(dryHours, (hours) => hours > 48),
      evidenceShare: evidence.dryHours,
    },
  };
}

function figure(draws: Float64Array): Figure {
  return { ...quantilesOf(draws), mean: significant(meanOf(draws)) };
}

function shownFigures(
  { sections: worked }: PlannedWork,
  sections: readonly SectionEstimate[],
  figures: ReturnType<typeof jobFigures>,
) {
  const surfaceM2 = worked.reduce((sum, section) => sum + section.surfaceM2, 0);
  const passes = sections.reduce((sum, { meanPassesNeeded }, s) => sum + meanPassesNeeded * worked[s].surfaceM2, 0);
  return {
    passes: significant(passes / surfaceM2),
    labourHours: figures.labourHours.p50,
    waterLPerM2: figures.waterLPerM2.p50,
    dryHours: figures.dryHours.p50,
  };
}
