import type { ModelName } from '../domain/doubts.ts';
import { binomialPValue } from '../inference/scores-calibration.ts';
import { studentTQuantile } from '../inference/scores-student-t.ts';
import { significant } from '../models/estimate/figure.ts';
import { modelNames } from '../models/shop-fit.ts';
import type { LevelTerm } from './level-words.ts';
import type { Verdict } from './publication.ts';
import { type Range, shareRange } from './range.ts';
import { type ModelMonth, type MonthScores, meanGap, type Paired, total } from './scoring/month-scores.ts';
import type { ReckonedChange } from './scoring/stored-scores.ts';
import { type ChangeRecord, type CreepRecord, changeRecords, creepRecord, figureNames } from './track-changes.ts';

/** How forecasts did on outcomes that they had not seen: mean scores, less is better, beside the plain ways to forecast. */
export interface ScoreLine {
  readonly model: ModelName;
  readonly outcomes: number;
  /** So few that a line says next to nothing: to be shown as such. */
  readonly tooFew: boolean;
  readonly meanScore: number | null;
  readonly ruleOfThumb: number | null;
  /** The shop's mean and spread by soil level; least squares on the same terms. Null where too little was known to have one. */
  readonly soilMeans: number | null;
  readonly leastSquares: number | null;
  /** Per cent less score than each, on the outcomes that both forecast; null where it was all but right, for there is nothing to divide by. */
  readonly gainOverSoilMeans: number | null;
  readonly gainOverLeastSquares: number | null;
  /** The same with their 90 % ranges: a gain is one beyond doubt where p05 is above 0. */
  readonly rangeOverSoilMeans: Range | null;
  readonly rangeOverLeastSquares: Range | null;
  /** Per cent less score than the rule of thumb, with its 90 % range. */
  readonly gainPercent: Range | null;
  /** Share of outcomes inside the 80 % range, with the 90 % range that so many outcomes leave open. */
  readonly inside80: Range | null;
  /** By how much what came missed what was forecast, on average, in `unit`, and the rule of thumb's; null where it is not known exactly (drying). */
  readonly meanMiss: number | null;
  readonly meanMissRuleOfThumb: number | null;
  /** What came less what was forecast, on average, in `unit`; null where it is not known exactly (drying). */
  readonly bias: number | null;
  readonly unit: string;
}

/** Whether the 80 % ranges hold four times in five, as far as so many outcomes can tell. */
export type RangesHold = 'nothing seen' | 'too few to tell' | 'hold' | 'too narrow' | 'too wide';

export interface ModelRecord extends ScoreLine {
  readonly score: string;
  readonly ranges: RangesHold;
  readonly inside50: number | null;
  readonly inside90: number | null;
  /** Mean pinball loss of the 80 % quantile, the one that quotes are made from, and the rule of thumb's. */
  readonly quoteLoss: number | null;
  readonly quoteLossRuleOfThumb: number | null;
  /** What came over the forecast's middle, typically; 1 is right. Not of passes; of water and drying drawn towards 1, for tanks and checks leave it open. */
  readonly typicalRatio: number | null;
  /** The first month from which on the shop's own numbers have been ahead of the rule of thumb in sum, at each month's end. */
  readonly ownNumbersBetterSince: string | null;
  readonly says: string;
}

export interface MonthRecord {
  readonly month: string;
  readonly jobsKnown: number;
  readonly jobs: number;
  readonly failed: string | null;
  readonly models: readonly ScoreLine[];
}

/**
 * The track record, for a page and for programs. Fields may be added to it and to what it holds; those here keep their names, units and meaning.
 */
export interface TrackRecord {
  readonly answer: string;
  readonly models: readonly ModelRecord[];
  readonly months: readonly MonthRecord[];
  /** Stretches of months in which jobs came out otherwise than forecast, those that the fit reckons with first. */
  readonly changes: readonly ChangeRecord[];
  /** Figures whose level moves little by little, with no month that stands out; forecasts follow. */
  readonly creeping: readonly CreepRecord[];
  readonly notes: readonly string[];
}

const few = 20;

/** What the scores are, in words; units where they have one. */
const scoreNames: Readonly<Record<ModelName, string>> = {
  passes: 'ranked probability score of passes made, the mean of a job’s sections',
  labour: 'CRPS, hours',
  water: 'CRPS, L/m² left in',
  drying: 'Brier score over the drying checks, by job',
};

const units: Readonly<Record<ModelName, string>> = {
  passes: 'passes',
  labour: 'hours',
  water: 'L/m²',
  drying: 'hours',
};

/** How far off were we: the scores of the published fit's run, month by month and in sum, in words; `termsOf` are that fit's own. */
export function trackRecord(
  months: readonly MonthScores[],
  verdict: Verdict | undefined,
  known: readonly ReckonedChange[] = [],
  termsOf: (model: ModelName) => readonly LevelTerm[] = () => [],
): TrackRecord {
  const models = modelNames.map((model) => modelRecord(months, model));
  const changes = changeRecords(months, known);
  const creeping = modelNames.flatMap((model) => creepRecord(model, termsOf(model)));
  return {
    answer: [answer(models), ...changes.map(({ says }) => says), ...creeping.map(({ says }) => says)].join(' '),
    models,
    months: months.map(monthRecord),
    changes,
    creeping,
    notes: verdict?.notes ?? [],
  };
}

function modelRecord(months: readonly MonthScores[], model: ModelName): ModelRecord {
  const all = total(months, model);
  const found = {
    ...scoreLine(model, all),
    score: scoreNames[model],
    ranges: rangesHold(all),
    inside50: perOutcome(all.inside50, all.n),
    inside90: perOutcome(all.inside90, all.n),
    quoteLoss: perOutcome(all.pinball80, all.nExact),
    quoteLossRuleOfThumb: perOutcome(all.pinball80RuleOfThumb, all.nExact),
    typicalRatio: isOnLogScale(model) && all.n > 0 ? significant(Math.exp(all.residual / all.n)) : null,
    ownNumbersBetterSince: betterSince(months, model),
  };
  return { ...found, says: sentence(found, all) };
}

function monthRecord({ month, jobsKnown, jobs, failed, models }: MonthScores): MonthRecord {
  return { month, jobsKnown, jobs, failed, models: modelNames.map((model) => scoreLine(model, models[model])) };
}

function scoreLine(model: ModelName, sums: ModelMonth): ScoreLine {
  const { n, score, ruleOfThumb, soilMeans, leastSquares, nExact } = sums;
  return {
    model,
    outcomes: n,
    tooFew: n < few,
    meanScore: perOutcome(score, n),
    ruleOfThumb: perOutcome(ruleOfThumb.other, ruleOfThumb.n),
    soilMeans: perOutcome(soilMeans.other, soilMeans.n),
    leastSquares: perOutcome(leastSquares.other, leastSquares.n),
    gainOverSoilMeans: gainOver(soilMeans, ruleOfThumb),
    gainOverLeastSquares: gainOver(leastSquares, ruleOfThumb),
    rangeOverSoilMeans: isOff(soilMeans, ruleOfThumb) ? gainRange(soilMeans) : null,
    rangeOverLeastSquares: isOff(leastSquares, ruleOfThumb) ? gainRange(leastSquares) : null,
    gainPercent: gainRange(ruleOfThumb),
    inside80: inside(sums),
    meanMiss: perOutcome(sums.miss, nExact),
    meanMissRuleOfThumb: perOutcome(sums.missRuleOfThumb, nExact),
    bias: perOutcome(sums.error, nExact),
    unit: units[model],
  };
}

/** Of water and drying it is drawn towards 1: tanks and checks only say between what it lay. */
function isOnLogScale(model: ModelName): boolean {
  return model !== 'passes';
}

function gainOver(pair: Paired, ruleOfThumb: Paired): number | null {
  return isOff(pair, ruleOfThumb) ? significant(100 * (1 - pair.own / pair.other)) : null;
}

/** Off by more than a thousandth of what the rule of thumb is: where all jobs come out alike, the plain ways need not be. */
function isOff(pair: Paired, ruleOfThumb: Paired): boolean {
  return pair.other / pair.n > (0.001 * ruleOfThumb.other) / ruleOfThumb.n;
}

function perOutcome(sum: number, n: number): number | null {
  return n === 0 ? null : significant(sum / n);
}

/** The paired mean difference and its 90 % range by Student's t, as per cent of the other's score: two jobs that agree by chance are no proof. */
function gainRange(pair: Paired): Range | null {
  if (pair.n < 2 || pair.other <= 0) return null;
  const { mean, se } = meanGap(pair);
  const percent = (difference: number) => significant((-100 * pair.n * difference) / pair.other);
  const reach = studentTQuantile(0.95, pair.n - 1) * se;
  return { p05: percent(mean + reach), p50: percent(mean), p95: percent(mean - reach) };
}

function inside({ n, inside80 }: ModelMonth): Range | null {
  return n === 0 ? null : shareRange(Math.round(inside80), n);
}

function betterSince(months: readonly MonthScores[], model: ModelName): string | null {
  const seen = months.filter(({ models }) => models[model].n > 0);
  return seen.find((_, i) => isAheadThroughout(seen.slice(i), model))?.month ?? null;
}

/** Ahead of the rule of thumb in sum at the end of each of these months: one bad month after good ones does not undo it. */
function isAheadThroughout(months: readonly MonthScores[], model: ModelName): boolean {
  let sum = 0;
  return months.every(({ models }) => {
    sum += models[model].ruleOfThumb.own - models[model].ruleOfThumb.other;
    return sum < 0;
  });
}

function rangesHold({ n, inside80 }: ModelMonth): RangesHold {
  if (n === 0) return 'nothing seen';
  if (n < few) return 'too few to tell';
  const held = Math.round(inside80);
  if (binomialPValue(held, n, 0.8) >= 0.01) return 'hold';
  return held < 0.8 * n ? 'too narrow' : 'too wide';
}

/** `hold` is all but one time in a hundred; beside it stands a range of nine in ten, which may lie to one side of 80 % all the same. */
export function holdsPlainly(inside80: Range | null): boolean {
  return inside80 !== null && inside80.p05 <= 0.8 && inside80.p95 >= 0.8;
}

const notQuite = 'not quite as it should be, which chance can do';

const rangeWords: Readonly<Record<RangesHold, string>> = {
  'nothing seen': 'nothing seen yet',
  'too few to tell': 'too few to tell',
  hold: 'as it should be',
  'too narrow': 'too few: the ranges are too narrow',
  'too wide': 'more than it should: the ranges are wider than they need be',
};

function sentence(
  { model, ranges, bias, unit, gainPercent, ownNumbersBetterSince, inside80: shown }: Omit<ModelRecord, 'says'>,
  { n, inside80 }: ModelMonth,
): string {
  const name = figureNames[model];
  if (n === 0) return `${name}: nothing has been forecast and seen yet.`;
  const held = Math.round(inside80);
  const better =
    gainPercent === null
      ? ''
      : gainPercent.p05 > 0
        ? ` ${Math.round(gainPercent.p50)} % less off than the rule of thumb (90 % range ${Math.round(gainPercent.p05)} to ${Math.round(gainPercent.p95)} %)${ownNumbersBetterSince === null ? '' : `, since ${ownNumbersBetterSince}`}.`
        : gainPercent.p95 < 0
          ? ' Worse than the rule of thumb.'
          : ' No better than the rule of thumb, as far as can be told.';
  const off = bias === null || n < few ? '' : ` ${biasWords(bias, unit)}`;
  return `${name}: ${held} of ${n} inside the 80 % range: ${ranges === 'hold' && !holdsPlainly(shown) ? notQuite : rangeWords[ranges]}.${better}${off}`;
}

function biasWords(bias: number, unit: string): string {
  const amount = Number(Math.abs(bias).toPrecision(2));
  return `On average ${amount} ${unit} ${bias > 0 ? 'more' : 'less'} than forecast.`;
}

/** So it is for a new shop, after a fit was withdrawn, and for a fit of another version of the program. */
export const nothingScored =
  'No forecast has met its outcome yet that was made as estimates are now: the night after the next finished job will tell.';

function answer(models: readonly ModelRecord[]): string {
  const hours = models.find(({ model }) => model === 'labour');
  if (hours === undefined || hours.outcomes === 0) return nothingScored;
  return models.map(({ says }) => says).join(' ');
}
