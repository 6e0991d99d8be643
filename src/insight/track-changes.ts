import type { ModelName } from '../domain/doubts.ts';
import { significant } from '../models/estimate/figure.ts';
import { type Drift, driftInWords, drifts } from './drift.ts';
import { unexplained } from './known-changes.ts';
import { creepInWords, type LevelTerm, latestCreep, levelInWords } from './level-words.ts';
import type { Range } from './range.ts';
import type { MonthScores } from './scoring/month-scores.ts';
import type { ReckonedChange } from './scoring/stored-scores.ts';

/** A drift, and what became of it. */
export interface ChangeRecord extends Drift {
  /** YYYY-MM: from when on forecasts reckon with it; null where they do not. */
  readonly reckonedFrom: string | null;
  /** How what came before it stands to what came since, as the fit has it: a factor, of passes on the effort behind them; null likewise. */
  readonly levelBefore: Range | null;
}

export interface CreepRecord {
  readonly model: ModelName;
  /** YYYY-MM: the latest half-year begins in it. */
  readonly since: string;
  /** How what came before it stands to what came since: a factor, of passes on the effort behind them. */
  readonly levelBefore: Range;
  readonly says: string;
}

export const figureNames: Readonly<Record<ModelName, string>> = {
  passes: 'Passes',
  labour: 'Hours',
  water: 'Water',
  drying: 'Drying',
};

/** Known changes for as long as a month is told in which they were not known; then what stands out beside them. */
export function changeRecords(
  months: readonly MonthScores[],
  known: readonly ReckonedChange[],
): readonly ChangeRecord[] {
  const told = known.filter(({ knownFrom }) => knownFrom > (months[0]?.month ?? ''));
  const others = drifts(unexplained(months, known));
  return [...told.map(reckonedWith), ...others.map((drift) => ({ ...drift, reckonedFrom: null, levelBefore: null }))];
}

function reckonedWith({ drift, knownFrom, level }: ReckonedChange): ChangeRecord {
  if (level === null) return { ...drift, reckonedFrom: null, levelBefore: null };
  return {
    ...drift,
    reckonedFrom: knownFrom,
    levelBefore: asFactor(level),
    says: driftInWords(drift, levelInWords(drift.model, drift.since, level)),
  };
}

/** At most one a model, where its level moves little by little. */
export function creepRecord(model: ModelName, terms: readonly LevelTerm[]): CreepRecord[] {
  const creep = latestCreep(terms);
  if (creep === undefined) return [];
  const says = `${figureNames[model]}: the level creeps, and forecasts follow: ${creepInWords(model, creep)}.`;
  return [{ model, since: creep.month, levelBefore: asFactor(creep.log), says }];
}

function asFactor({ p05, p50, p95 }: Range): Range {
  const factor = (log: number) => significant(Math.exp(log));
  return { p05: factor(p05), p50: factor(p50), p95: factor(p95) };
}
