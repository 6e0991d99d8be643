import { z } from 'zod';
import type { ModelName } from '../domain/doubts.ts';
import { modelNames } from '../models/shop-fit.ts';
import type { MonthScores } from './scoring/month-scores.ts';

/** How much of a usual job's figures was the shop's own at one time, 0 to 1. */
export interface EvidencePoint {
  readonly at: Date;
  readonly jobs: number;
  readonly shares: Readonly<Record<ModelName, number>>;
}

/** A night's fit as stored, whatever its summary keeps of the evidence. */
interface StoredNight {
  readonly finishedAt: Date;
  readonly nJobs: number;
  readonly evidence: unknown;
}

/** Enough to draw. */
const mostNights = 80;
const longestGapMs = 3 * 365.25 * 24 * 3_600_000;

/**
 * The evidence in time, oldest first: none before the first job; then as the forecasts of each past month found it at its start, up to the first night that kept its own, and
 * from then on night by night. What lies more than three years before all that follows is left out: mostly it is a year that was mistyped, and there would be nothing to see
 * of the rest.
 */
export function evidenceHistory(
  firstJobAt: Date | undefined,
  months: readonly Pick<MonthScores, 'month' | 'jobsKnown' | 'evidence'>[],
  nights: readonly StoredNight[],
): readonly EvidencePoint[] {
  const own = thinned(nights.flatMap(({ finishedAt, nJobs, evidence }) => point(finishedAt, nJobs, evidence)));
  const first = own[0];
  const before = months
    .flatMap(({ month, jobsKnown: jobs, evidence }) => point(new Date(`${month}-01T00:00:00Z`), jobs, evidence))
    .filter(({ at }) => first === undefined || at < first.at);
  const known = [...before, ...own];
  const isEarliest = firstJobAt !== undefined && (known[0] === undefined || firstJobAt < known[0].at);
  return sinceLongGap(isEarliest && known.length > 0 ? [{ at: firstJobAt, jobs: 0, shares: none }, ...known] : known);
}

function sinceLongGap(points: readonly EvidencePoint[]): readonly EvidencePoint[] {
  const lastBefore = points.findLastIndex(({ at }, i) => {
    const next = points[i + 1];
    return next !== undefined && next.at.getTime() - at.getTime() > longestGapMs;
  });
  return points.slice(lastBefore + 1);
}

const none = { passes: 0, labour: 0, water: 0, drying: 0 };

/** How much is the shop's own by now, in one sentence. */
export function evidenceSentence(points: readonly EvidencePoint[]): string {
  const now = points.at(-1);
  if (now === undefined)
    return 'How much of each figure is the shop’s own will stand here after the next night; until something is learnt it is all rule of thumb.';
  const [passes, hours, water, drying] = modelNames.map((model) => `${Math.round(100 * now.shares[model])} %`);
  return `Of a usual job the passes are ${passes} the shop’s own after ${now.jobs} finished jobs, the hours ${hours}, the water ${water} and the drying time ${drying}; the rest is rule of thumb.`;
}

/** The first time from which on more than half was the shop's own; undefined where it is not so yet. */
export function halfOwnSince(points: readonly EvidencePoint[], model: ModelName): EvidencePoint | undefined {
  const lastBelow = points.findLastIndex(({ shares }) => shares[model] <= 0.5);
  return points[lastBelow + 1];
}

const stored = z.object({ passes: z.number(), labourHours: z.number(), water: z.number(), dryHours: z.number() });

function point(at: Date, jobs: number, evidence: unknown): EvidencePoint[] {
  const read = stored.safeParse(evidence);
  if (!read.success) return [];
  const { passes, labourHours: labour, water, dryHours: drying } = read.data;
  return [{ at, jobs, shares: { passes, labour, water, drying } }];
}

/** Every so many nights, counted from the latest. */
function thinned(points: readonly EvidencePoint[]): readonly EvidencePoint[] {
  const step = Math.ceil(points.length / mostNights);
  return points.filter((_, i) => (points.length - 1 - i) % step === 0);
}
