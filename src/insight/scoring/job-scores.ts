import type { ModelName } from '../../domain/doubts.ts';
import type { FinishedJob } from '../../domain/record.ts';
import { rankedProbabilityScore } from '../../inference/scores.ts';
import { centralCoverage } from '../../inference/scores-calibration.ts';
import { type Look, sequentialBrierScore } from '../../inference/scores-censored.ts';
import { crpsOfSorted, shareAtOrBelow } from '../../inference/scores-ensemble.ts';
import { plannedWork, type ShopNow } from '../../models/estimate/planned-work.ts';
import { type JobDraws, simulateJob } from '../../models/estimate/simulate-job.ts';
import { jobReadings } from '../../models/readings.ts';
import type { ShopFit } from '../../models/shop-fit.ts';
import { doneSections, totalSurfaceM2 } from '../../models/work-section.ts';
import { plannedFromRecord } from '../planned-from-record.ts';
import { actualHours } from '../quotes/kinds.ts';

/** How one forecast did on one outcome: a proper score, less is better, and how much of the outcome lay inside its central ranges. */
export interface OutcomeScore {
  readonly model: ModelName;
  readonly score: number;
  readonly inside50: number;
  readonly inside80: number;
  readonly inside90: number;
  /** Log of what came over the forecast's median; NaN where it is not known exactly. */
  readonly logError: number;
}

/** Enough for a score's noise to vanish among that of the outcomes. */
export const scoringDraws = 300;
const countedPasses = 12;

/** Forecasts a finished job from a fit that may not have seen it, and scores what came. Hours, L/m², passes in their own units. */
export function scoreJob(fit: ShopFit, job: FinishedJob, shop: ShopNow): readonly OutcomeScore[] {
  const draws = simulateJob(fit, plannedWork(fit, plannedFromRecord(job), shop), scoringDraws);
  return [
    ...passesScores(draws, job),
    exact('labour', draws.labourHours, actualHours(job)),
    ...waterScore(fit, draws, job),
    ...dryingScore(draws, job),
  ];
}

/** Passes made of every section that came clean; where work was given up the count says less, and is left out. */
function passesScores({ passes }: JobDraws, { sections }: FinishedJob): readonly OutcomeScore[] {
  return sections.flatMap(({ wetPasses, result }, s) => {
    if (wetPasses < 1 || wetPasses > countedPasses || result !== 'clean') return [];
    const counts = new Float64Array(countedPasses);
    for (const made of passes[s].made) counts[Math.min(made, countedPasses) - 1] += 1 / passes[s].made.length;
    const below = counts.slice(0, wetPasses - 1).reduce((sum, chance) => sum + chance, 0);
    const above = below + counts[wetPasses - 1];
    const score = rankedProbabilityScore(counts, wetPasses - 1);
    return [{ model: 'passes' as const, score, ...insides(below, above), logError: Number.NaN }];
  });
}

function waterScore(fit: ShopFit, draws: JobDraws, job: FinishedJob): readonly OutcomeScore[] {
  const sections = doneSections(job, fit.surfaceRatios);
  const { readings } = jobReadings(job, sections);
  const [reading] = readings;
  if (readings.length !== 1 || reading.litresLeft <= 0) return [];
  const surfaceM2 = totalSurfaceM2(reading.sections);
  const sorted = draws.measuredLPerM2.slice().sort();
  const seen = reading.litresLeft / surfaceM2;
  const step = fit.readingStepL / surfaceM2;
  const [below, above] = [shareAtOrBelow(sorted, Math.max(0, seen - step)), shareAtOrBelow(sorted, seen + step)];
  const logError = Math.log(seen / sorted[Math.floor(sorted.length / 2)]);
  return [{ model: 'water', score: crpsOfSorted(sorted, seen), ...insides(below, above), logError }];
}

function dryingScore({ dryHours }: JobDraws, { drying }: FinishedJob): readonly OutcomeScore[] {
  const checks = [...(drying?.checks ?? [])].sort((a, b) => a.hours - b.hours);
  if (checks.length === 0) return [];
  const firstDry = checks.findIndex(({ dry }) => dry);
  const sorted = dryHours.slice().sort();
  const by = (hours: number) => shareAtOrBelow(sorted, hours);
  const told = firstDry < 0 ? checks : checks.slice(0, firstDry + 1);
  const looks: Look[] = told.map(({ hours, dry }) => ({ forecast: by(hours), happened: dry }));
  const lastWet = told.filter(({ dry }) => !dry).at(-1);
  const below = lastWet === undefined ? 0 : by(lastWet.hours);
  const above = firstDry < 0 ? 1 : by(checks[firstDry].hours);
  return [{ model: 'drying', score: sequentialBrierScore(looks), ...insides(below, above), logError: Number.NaN }];
}

function exact(model: ModelName, draws: Float64Array, y: number): OutcomeScore {
  const sorted = draws.slice().sort();
  const at = shareAtOrBelow(sorted, y);
  const logError = Math.log(y / sorted[Math.floor(sorted.length / 2)]);
  return { model, score: crpsOfSorted(sorted, y), ...insides(at, at), logError };
}

function insides(below: number, above: number) {
  const inside = (level: number) =>
    above > below ? centralCoverage(below, above, level) : Number(Math.abs(below - 0.5) <= level / 2);
  return { inside50: inside(0.5), inside80: inside(0.8), inside90: inside(0.9) };
}
